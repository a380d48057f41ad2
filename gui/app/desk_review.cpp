// SPDX-License-Identifier: MIT
// Ticks taken back, remarks left and answered. Each is one edit of the text, and one step of undo.
#include <QDate>
#include <QLabel>
#include <QListWidget>
#include <QStatusBar>

#include "gui/app/desk_window.h"
#include "gui/app/sheet_dialogs.h"
#include "gui/models/text.h"
#include "gui/models/words.h"
#include "gui/views/grid_view.h"
#include "gui/views/working_panel.h"

namespace spanwright::app {

using models::fromUtf8;
using models::toUtf8;

namespace {

QString today() { return QDate::currentDate().toString(Qt::ISODate); }

} // namespace

QString DeskWindow::valueInWords(models::CellId cell) const {
    const job::QuantityView& view = m_session->view(cell);
    const QString name = QStringLiteral("%1.%2").arg(fromUtf8(m_session->job().member(cell.member).mark), fromUtf8(view.name));
    return view.shown.empty() ? tr("%1: %2").arg(name, models::wordsOf(view.what))
                              : tr("%1 = %2: %3").arg(name, fromUtf8(view.shown), models::wordsOf(view.what));
}

void DeskWindow::remark() {
    const auto cell = m_gridView->currentCell();
    if (!cell) return;
    RemarkDialog dialog(valueInWords(*cell), {}, m_settings.initials, today(), this);
    if (dialog.exec() != QDialog::Accepted) return;
    m_settings.initials = dialog.by();
    const std::string mark = m_session->job().member(cell->member).mark, name = m_session->quantity(*cell).name;
    tell(m_session->edit(tr("remark on %1.%2").arg(fromUtf8(mark), fromUtf8(name)),
                         [&](job::Job& job) { return job.addRemark(mark, name, toUtf8(dialog.by()), toUtf8(dialog.on()), toUtf8(dialog.words())); }),
         tr("The remark stands in the job."));
}

/// The remark of the selected value that nobody has answered, else its last.
std::optional<std::size_t> DeskWindow::currentRemark() const {
    const auto cell = m_gridView->currentCell();
    std::optional<std::size_t> out;
    if (!cell) return out;
    // One that is selected beside the grid is meant first.
    const auto selected = m_working->remarks().selectedItems();
    if (!selected.isEmpty()) return m_working->remarkOf(selected.first());
    for (const std::uint32_t i : m_session->view(*cell).remarks) {
        const job::RemarkView& r = m_session->job().remarks()[i];
        if (!r.answer && (r.open || !out || !m_session->job().remarks()[*out].open)) out = i;
    }
    return out;
}

void DeskWindow::answer(std::optional<std::size_t> index) {
    m_session->finish(); // remarks are counted
    const auto cell = m_gridView->currentCell();
    if (!cell || !index || *index >= m_session->job().remarks().size()) return;
    // An answer is answered by answering what it answers.
    while (*index > 0 && m_session->job().remarks()[*index].answer) {
        const job::RemarkView& r = m_session->job().remarks()[*index];
        std::size_t i = *index;
        while (i > 0) {
            const job::RemarkView& o = m_session->job().remarks()[--i];
            if (o.member == r.member && o.name == r.name) break;
        }
        if (i == *index) break;
        index = i;
    }
    const job::RemarkView asked = m_session->job().remarks()[*index];
    RemarkDialog dialog(valueInWords(*cell), tr("%1, %2: %3").arg(fromUtf8(asked.by), fromUtf8(asked.on), fromUtf8(asked.text)), m_settings.initials, today(),
                        this);
    if (dialog.exec() != QDialog::Accepted) return;
    m_settings.initials = dialog.by();
    tell(m_session->edit(tr("answer on %1.%2").arg(fromUtf8(asked.member), fromUtf8(asked.name)),
                         [&](job::Job& job) { return job.answerRemark(*index, toUtf8(dialog.by()), toUtf8(dialog.on()), toUtf8(dialog.words())); }),
         tr("Answered."));
}

void DeskWindow::removeRemark() {
    m_session->finish();
    const auto index = currentRemark();
    if (!index) return;
    const job::RemarkView& r = m_session->job().remarks()[*index];
    tell(m_session->edit(tr("remark on %1.%2 taken out").arg(fromUtf8(r.member), fromUtf8(r.name)), [&](job::Job& job) { return job.removeRemark(*index); }),
         tr("Taken out; undo brings it back."));
}

void DeskWindow::removeTick() {
    const auto cell = m_gridView->currentCell();
    if (!cell) return;
    const std::string mark = m_session->job().member(cell->member).mark, name = m_session->quantity(*cell).name;
    tell(m_session->edit(tr("tick of %1.%2 taken back").arg(fromUtf8(mark), fromUtf8(name)), [&](job::Job& job) { return job.removeTick(mark, name); }),
         tr("The tick is taken back."));
}

QString DeskWindow::reviewInWords() const { return m_ticks->text(); }

/// How far the review is, in the foot of the window.
void DeskWindow::refreshReview() {
    std::size_t current = 0, old = 0, open = 0, values = 0;
    for (const job::TickView& t : m_session->job().ticks()) {
        if (t.state == job::TickView::State::Current) ++current;
        if (t.state != job::TickView::State::Current) ++old;
    }
    for (const job::RemarkView& r : m_session->job().remarks()) open += r.open ? 1 : 0;
    for (std::size_t i = 0; i < m_session->job().memberCount(); ++i) values += m_session->job().member(i).quantities.size();
    QStringList words{tr("%1 of %2 values ticked").arg(current).arg(values)};
    if (old > 0) words << (old == 1 ? tr("1 tick out of date") : tr("%1 ticks out of date").arg(old));
    if (open > 0) words << (open == 1 ? tr("1 remark open") : tr("%1 remarks open").arg(open));
    m_ticks->setText(words.join(QStringLiteral(", ")));
}

} // namespace spanwright::app
