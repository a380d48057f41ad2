// SPDX-License-Identifier: MIT
// The calculation on paper.
#include <QDir>
#include <QFileInfo>

#include "gui/app/desk_window.h"
#include "gui/app/print_dialog.h"
#include "gui/models/file_watch.h"
#include "gui/models/job_session.h"
#include "gui/models/live_workshop.h"
#include "gui/models/text.h"

namespace spanwright::app {

PrintDialog* DeskWindow::printDialog() { return findChild<PrintDialog*>(QStringLiteral("paper")); }

void DeskWindow::onPaper() {
    if (!m_session->isOpen()) return;
    takeTyped();
    if (PrintDialog* there = printDialog()) {
        if (there->isVisible() && m_printed == m_session->path()) {
            there->makeAnew();
            there->raise();
            there->activateWindow();
            return;
        }
        if (!there->mayClose()) return;
        delete there;
    }
    std::optional<std::string> mark;
    if (const std::optional<std::size_t> at = currentMember()) mark = m_session->job().member(*at).mark;
    const QFileInfo file(m_session->path());
    auto* dialog =
        new PrintDialog(m_session->otherCopy(), mark, file.absolutePath() + QLatin1Char('/') + file.completeBaseName() + QStringLiteral(".pdf"), this);
    dialog->setObjectName(QStringLiteral("paper"));
    m_printed = m_session->path();
    m_readSincePrint = false;
    dialog->setAttribute(Qt::WA_DeleteOnClose);
    // Pages are of one state of the job; what comes of edits meanwhile is not mixed into them.
    auto printed = std::make_shared<std::vector<std::pair<std::string, std::string>>>(models::textsNow(*m_session));
    const auto look = [this, dialog, printed, path = m_session->path()] {
        if (m_session->path() != path) {
            dialog->setOutOfDate(tr("The window shows another job now. These pages are of %1.").arg(QFileInfo(path).fileName()));
            return;
        }
        if (models::textsNow(*m_session) == *printed && !m_readSincePrint) {
            dialog->setOutOfDate({});
            return;
        }
        dialog->setOutOfDate(tr("The job has been changed since these pages were made."), [this, printed] {
            m_readSincePrint = false;
            *printed = models::textsNow(*m_session);
            return m_session->otherCopy();
        });
    };
    connect(m_session.get(), &models::JobSession::reset, dialog, look);
    connect(m_session.get(), &models::JobSession::settled, dialog, look);
    // Prices stand beside the job in a file that no text of it follows.
    auto* prices = new models::FileWatch(dialog);
    const auto watch = [this, prices] {
        QStringList paths;
        for (const syntax::Row& row : m_session->job().document().rows())
            if (row.kind == syntax::RowKind::Prices && row->path.present())
                paths << QFileInfo(m_session->path()).absoluteDir().filePath(models::fromUtf8(row->path.text));
        prices->look(paths);
    };
    connect(prices, &models::FileWatch::changed, dialog, [this, look, path = m_session->path()](const QStringList& files) {
        for (const QString& p : files) m_session->readAgain(models::toUtf8(p));
        if (m_session->path() == path) m_readSincePrint = true;
        look();
    });
    connect(m_session.get(), &models::JobSession::reset, prices, watch);
    watch();
    dialog->show();
}

} // namespace spanwright::app
