// SPDX-License-Identifier: MIT
// Trials: how far a value can go, what weighs on a check, what would make a member pass, tables over ranges; and pinning them
// into the report.
#include <QAbstractButton>
#include <QAction>
#include <QListView>
#include <QMenu>
#include <QMenuBar>
#include <QStackedWidget>
#include <QStatusBar>
#include <QTableView>

#include "engine/trial/pinned.h"
#include "gui/app/desk_window.h"
#include "gui/app/pinned_dialog.h"
#include "gui/app/vary_dialog.h"
#include "gui/models/text.h"
#include "gui/views/grid_view.h"
#include "gui/views/mends_view.h"
#include "gui/views/sentence_bar.h"
#include "gui/views/trial_glance.h"
#include "gui/views/working_panel.h"

namespace spanwright::app {

using models::fromUtf8;

void DeskWindow::buildTrials() {
    m_glance = new views::TrialGlance(*m_session, m_working);
    m_working->addPart(m_glance);
    connect(m_glance, &views::TrialGlance::followed, this, [this](const models::Spot& spot) {
        if (goTo(spot) && !spot.mark.empty()) m_gridView->setFocus();
    });
    connect(m_glance, &views::TrialGlance::varyWanted, this, &DeskWindow::varyValues);
    connect(m_glance, &views::TrialGlance::pinWanted, this, &DeskWindow::pinCurrent);
    connect(m_glance, &views::TrialGlance::pinToleranceWanted, this, [this] { pinTrial(m_glance->tolerance().pinned()); });
    const auto put = [this](const models::Outcome& outcome, const QString& change) {
        tell(outcome, tr("%1 is in the job; undo takes it back.").arg(change));
        if (!outcome) m_gridView->setFocus();
    };
    connect(&m_glance->mends(), &views::MendsView::put, this, put);
    // Behind the sentence: what would do for the failing member that is chosen in the list.
    m_sentenceMends = new views::MendsView(*m_session, m_sentence, 3);
    m_sentenceMends->setContentsMargins(12, 0, 12, 8);
    m_sentence->addBelow(m_sentenceMends);
    connect(m_sentenceMends, &views::MendsView::put, this, put);
    const auto follow = [this] {
        const QModelIndex at = m_sentence->list().currentIndex();
        const bool any = m_sentence->isOpen() && at.isValid() && at.row() < m_problems->rowCount();
        const models::Trouble* t = any ? &m_problems->trouble(at.row()) : nullptr;
        const bool fails = t != nullptr && t->sort == models::Trouble::Sort::Fails && t->cell;
        m_sentenceMends->showMember(fails ? std::optional(t->cell->member) : std::nullopt);
    };
    connect(m_sentence->list().selectionModel(), &QItemSelectionModel::currentChanged, this, follow);
    connect(&m_sentence->sentence(), &QAbstractButton::toggled, this, follow);
    connect(m_problems.get(), &models::ProblemList::standingChanged, this, follow);
}

void DeskWindow::buildTrialActions() {
    using Keys = QList<QKeySequence>;
    QMenu& trials = *menuBar()->addMenu(tr("&Trials"));
    add(trials, "vary", tr("&Vary values..."), Keys{QKeySequence(Qt::CTRL | Qt::Key_R)}, [this] { varyValues(); });
    trials.addSeparator();
    add(trials, "pinTrial", tr("&Pin what is asked of this value into the report"), Keys{QKeySequence(Qt::CTRL | Qt::Key_I)}, [this] { pinCurrent(); });
    add(trials, "pinned", tr("Trials in the &report..."), Keys{QKeySequence(Qt::CTRL | Qt::SHIFT | Qt::Key_I)}, [this] {
        if (!m_session->isOpen()) return;
        PinnedDialog dialog(*m_session, this);
        dialog.exec();
    });
}

void DeskWindow::refreshTrialActions(bool open, std::optional<models::CellId> cell) {
    const bool job = open && !m_session->job().isSingleSheet();
    const job::CheckView* check = cell ? m_session->check(*cell) : nullptr;
    const bool weighed = check != nullptr && !check->isRequire && check->utilisation;
    action(QStringLiteral("vary"))->setEnabled(open);
    action(QStringLiteral("pinTrial"))->setEnabled(job && (cell ? weighed || models::FarModel::canAsk(*m_session, *cell) : currentJobValue().has_value()));
    action(QStringLiteral("pinned"))->setEnabled(job);
}

/// The one of the job's own values that is selected, where they are shown.
std::optional<std::string> DeskWindow::currentJobValue() const {
    if (!m_session->isOpen() || m_pages->currentWidget() != m_valuesView || !m_valuesView->currentIndex().isValid()) return {};
    return models::toUtf8(m_valuesView->currentIndex().siblingAtColumn(models::JobValues::NameColumn).data().toString());
}

VaryDialog* DeskWindow::varyDialog() { return findChild<VaryDialog*>(QStringLiteral("vary")); }

/// One window for it: asked for again it comes to the front, with the value that is selected now.
void DeskWindow::varyValues() {
    if (!m_session->isOpen()) return;
    VaryDialog* dialog = varyDialog();
    if (dialog == nullptr) {
        dialog = new VaryDialog(*m_session, this);
        dialog->setAttribute(Qt::WA_DeleteOnClose);
        connect(dialog, &VaryDialog::pinned, this, [this] { statusBar()->showMessage(tr("Pinned: the report will work it out. Undo takes it out."), 8000); });
    }
    const auto cell = m_pages->currentWidget() == m_gridView ? m_gridView->currentCell() : std::nullopt;
    if (cell && models::FarModel::canAsk(*m_session, *cell)) {
        const std::string mark = m_session->job().isSingleSheet() ? std::string() : m_session->job().member(cell->member).mark;
        dialog->propose(fromUtf8(trial::pathText({mark, m_session->quantity(*cell).name})));
    } else if (const auto own = currentJobValue()) {
        dialog->propose(fromUtf8(*own));
    } else if (dialog->wish().fields.front().isEmpty()) {
        dialog->checkNow();
    }
    dialog->show();
    dialog->raise();
    dialog->activateWindow();
}

void DeskWindow::pinCurrent() {
    if (!m_session->isOpen() || m_session->job().isSingleSheet()) return;
    const auto cell = m_pages->currentWidget() == m_gridView ? m_gridView->currentCell() : std::nullopt;
    std::string text;
    if (cell) {
        const trial::ValueName name{m_session->job().member(cell->member).mark, m_session->quantity(*cell).name};
        text = m_session->check(*cell) != nullptr ? trial::pinnedWeigh(name) : trial::pinnedFar(trial::pathText(name));
    } else if (const auto own = currentJobValue()) {
        text = trial::pinnedFar(*own);
    } else {
        return;
    }
    pinTrial(text);
}

void DeskWindow::pinTrial(const std::string& text) {
    tell(m_session->edit(tr("pin a trial"), [&](job::Job& job) { return trial::pin(job, text, {}); }),
         tr("Pinned: the report will work it out. Undo takes it out."));
}

} // namespace spanwright::app
