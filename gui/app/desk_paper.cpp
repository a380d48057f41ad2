// SPDX-License-Identifier: MIT
// The calculation on paper.
#include <QApplication>
#include <QFileInfo>

#include <memory>

#include "engine/report/facts.h"
#include "engine/shop/workshop.h"
#include "gui/app/desk_window.h"
#include "gui/app/pinned_dialog.h"
#include "gui/app/print_dialog.h"
#include "gui/models/job_session.h"
#include "gui/models/loading.h"
#include "gui/models/text.h"

namespace spanwright::app {

void DeskWindow::onPaper() {
    if (!m_session->isOpen()) return;
    QApplication::setOverrideCursor(Qt::WaitCursor);
    // Nothing old is printed.
    m_session->finish();
    QApplication::restoreOverrideCursor();
    std::vector<trial::PinnedResult> trials = workOutPinned(*m_session, this);
    QApplication::setOverrideCursor(Qt::WaitCursor);
    report::Want want;
    want.rows = want.workings = true;
    report::JobFacts facts = report::gather(m_session->job(), want);
    facts.trials = std::move(trials);
    QApplication::restoreOverrideCursor();
    const QFileInfo file(models::fromUtf8(m_session->job().path()));
    PrintDialog dialog(std::move(facts), currentMember(), file.absolutePath() + QLatin1Char('/') + file.completeBaseName() + QStringLiteral(".pdf"), this);
    dialog.setWorkshop([open = m_session->otherCopy()](const std::shared_ptr<PrintDialog::Planning>& planning) {
        // A copy of the job of its own: the one that is shown stays with the window.
        const models::JobCopy copy = open(std::make_shared<models::LoadState>());
        shop::WorkshopOptions options;
        options.plan.effort.cancelled = [planning] { return planning->stop.load(std::memory_order_relaxed); };
        options.plan.progress = [planning](const std::string& group, std::int64_t boards) { planning->tell(models::fromUtf8(group), boards); };
        return std::make_shared<const shop::Workshop>(shop::work(*copy.job, options));
    });
    dialog.exec();
}

} // namespace spanwright::app
