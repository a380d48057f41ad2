// SPDX-License-Identifier: MIT
// A copy of a sheet for the job, its rows in the grid, and the rows of lists.
#include <QComboBox>
#include <QFileInfo>
#include <QStatusBar>

#include <algorithm>

#include "gui/app/desk_window.h"
#include "gui/app/sheet_dialogs.h"
#include "gui/editor/completing_line.h"
#include "gui/models/text.h"
#include "gui/views/grid_view.h"
#include "gui/views/row_editor.h"

namespace spanwright::app {

using models::fromUtf8;
using models::toUtf8;
using syntax::RowKind;

namespace {

/// Behind a row, the lines of its block and the notes under it.
std::uint32_t behind(const syntax::Document& d, std::uint32_t row) {
    std::uint32_t end = row + 1;
    const auto& rows = d.rows();
    const bool block = row < rows.size() && rows[row].kind != RowKind::Part && rows[row].kind != RowKind::Otherwise;
    while (block && end < rows.size() && rows[end].owner == row) ++end;
    while (end < rows.size() && rows[end].kind == RowKind::Note) ++end;
    return end;
}

} // namespace

/// The sheet of the selected row, if it is the job's to change, and the row in it.
std::optional<DeskWindow::SheetRow> DeskWindow::currentSheetRow() const {
    const QModelIndex at = m_gridView->current();
    const auto member = currentMember();
    if (!at.isValid() || !member || !m_session->hasSheet(*member)) return {};
    const meaning::Sheet& sheet = m_session->job().sheet(*member);
    if (!sheet.document || (m_session->job().isReady(sheet.document->file()) && !m_session->job().isSingleSheet())) return {};
    const models::GridRow& row = m_grid->rowAt(at.row());
    SheetRow out;
    out.file = sheet.document->file();
    if (row.quantity.valid()) {
        out.name = sheet.at(row.quantity).name;
        out.row = sheet.at(row.quantity).row;
        out.isValue = true;
    } else if (row.sort == models::GridRow::Sort::Part) {
        out.row = sheet.parts[row.part].row;
    } else {
        return {};
    }
    return out;
}

void DeskWindow::copySheet() {
    const auto member = currentMember();
    if (!member) return;
    const job::MemberView& view = m_session->job().member(*member);
    const std::string sheet = view.sheetName, mark = view.mark;
    int users = 0;
    for (std::size_t i = 0; i < m_session->job().memberCount(); ++i) users += m_session->job().member(i).sheetName == sheet ? 1 : 0;
    const QString stem = QFileInfo(fromUtf8(sheet)).fileName();
    QString name = tr("our-%1").arg(stem);
    const QString folder = QFileInfo(m_session->path()).path();
    for (int n = 2; m_session->files().exists(toUtf8(folder + QLatin1Char('/') + name + QStringLiteral(".spansheet"))); ++n)
        name = tr("our-%1-%2").arg(stem).arg(n);
    CopySheetDialog dialog(fromUtf8(sheet), name, fromUtf8(mark), users, this);
    if (dialog.exec() != QDialog::Accepted) return;
    const std::vector<std::string> marks = dialog.forAll() ? std::vector<std::string>() : std::vector<std::string>{mark};
    const auto cell = m_gridView->currentCell();
    const std::string row = cell ? m_session->quantity(*cell).name : std::string();
    const models::Outcome outcome = m_session->edit(tr("a copy of %1 for this job").arg(fromUtf8(sheet)),
                                                    [&](job::Job& job) { return job.copySheet(sheet, toUtf8(dialog.name()), marks); });
    tell(outcome, tr("The copy is %1; it is written when the job is saved.").arg(dialog.name()));
    m_session->finish();
    if (!outcome && !row.empty()) goTo({mark, row});
}

void DeskWindow::addSheetRow() {
    m_session->finish(); // rows are counted in the text as it is shown
    const auto at = currentSheetRow();
    if (!at) return;
    const auto member = currentMember();
    const std::uint32_t before = behind(*m_session->job().sheet(*member).document, at->row);
    openRow({at->file, before, std::nullopt}, m_gridView->takeKeptRow(at->file), true);
}

void DeskWindow::changeSheetRow() {
    m_session->finish(); // rows are counted in the text as it is shown
    const auto at = currentSheetRow();
    if (!at || !at->isValue) return;
    const auto member = currentMember();
    const syntax::Document& document = *m_session->job().sheet(*member).document;
    QString text = fromUtf8(document.rows()[at->row].text);
    while (text.endsWith(QLatin1Char('\n')) || text.endsWith(QLatin1Char('\r'))) text.chop(1);
    if (text.contains(QLatin1Char('\n'))) {
        // A row over several lines is changed where its lines are seen.
        toText();
        return;
    }
    openRow({at->file, at->row, at->row}, text, false);
}

void DeskWindow::openRow(const views::RowEditor::Place& place, const QString& text, bool below) {
    const auto member = currentMember();
    const std::string mark = m_session->job().member(*member).mark;
    auto* editor = m_gridView->editRow(new views::RowEditor(*m_session, place, text, m_gridView), m_gridView->current().row(), below);
    connect(editor, &views::RowEditor::put, this, [this, place, mark, editor](const QString& words) {
        if (m_session->isPending()) {
            m_session->finish();
            if (m_gridView->rowEditor() != editor) return; // rows are others: what was written is kept for where it is wanted now
        }
        const std::string row = toUtf8(words);
        editor->line().setModified(false); // from here on it is the job's
        const models::Outcome outcome = m_session->edit(place.replaced ? tr("row changed") : tr("row added"), [&](job::Job& job) {
            return place.replaced ? job.writeRow(place.file, *place.replaced, row) : job.insertRow(place.file, place.before, row);
        });
        if (outcome) editor->line().setModified(true);
        tell(outcome);
        if (outcome) return;
        Q_EMIT editor->dropped(); // unless the grid has let go of it already
        m_gridView->setFocus();
        m_session->finish();
        // To the row as it stands now.
        if (const auto now = m_session->job().memberByMark(mark); now && m_session->hasSheet(*now))
            for (const meaning::Quantity& q : m_session->job().sheet(*now).quantities)
                if (q.row == place.before && !q.name.empty()) {
                    goTo({mark, q.name});
                    break;
                }
    });
}

void DeskWindow::moveSheetRow(int by) {
    m_session->finish(); // rows are counted in the text as it is shown
    const auto at = currentSheetRow();
    if (!at || !at->isValue) return;
    const auto cell = m_gridView->currentCell();
    const std::string mark = m_session->job().member(cell->member).mark;
    const models::Outcome outcome = m_session->edit(tr("row moved"), [&](job::Job& job) { return job.moveRow(at->file, at->row, by); });
    if (outcome) statusBar()->showMessage(outcome->message, 6000);
    m_session->finish();
    if (!outcome) goTo({mark, at->name});
}

void DeskWindow::removeSheetRow() {
    m_session->finish(); // rows are counted in the text as it is shown
    const auto at = currentSheetRow();
    if (!at || !at->isValue) return;
    tell(m_session->edit(tr("row %1 taken out").arg(fromUtf8(at->name)), [&](job::Job& job) { return job.removeRow(at->file, at->row); }),
         tr("%1 is taken out of the sheet; undo brings it back.").arg(fromUtf8(at->name)));
}

/// What the copy has changed against the ready sheet, listed; the grid shows the rows that are there.
void DeskWindow::showDifferences() {
    const auto member = currentMember();
    if (!member) return;
    const job::MemberView& view = m_session->job().member(*member);
    QStringList lines;
    for (const std::string& row : view.differs) lines << fromUtf8(row);
    for (const std::string& lost : view.lostChecks) lines << tr("not proven: %1").arg(fromUtf8(lost));
    const QString head = view.copyOf.empty()    ? tr("%1 is no copy of a ready sheet.").arg(fromUtf8(view.sheetName))
                         : view.differs.empty() ? tr("%1 is as the ready sheet %2.").arg(fromUtf8(view.sheetName), fromUtf8(view.copyOf))
                                                : tr("%1 differs from the ready sheet %2:").arg(fromUtf8(view.sheetName), fromUtf8(view.copyOf));
    DifferencesDialog dialog(head, lines, this);
    if (!view.differs.empty()) m_filter->setCurrentIndex(m_filter->findData(static_cast<int>(models::GridModel::Filter::Rewritten)));
    dialog.exec();
}

void DeskWindow::editList(models::CellId cell) {
    if (m_session->job().isSingleSheet()) {
        toText();
        return;
    }
    (void)m_gridView->editList(cell);
}

} // namespace spanwright::app
