// SPDX-License-Identifier: MIT
// Edits that the menus ask for. Each is one edit of the text, and one step of undo.
#include <QApplication>
#include <QClipboard>
#include <QDate>
#include <QMessageBox>
#include <QPushButton>
#include <QStatusBar>
#include <QTableView>

#include "engine/units/format.h"
#include "gui/app/desk_window.h"
#include "gui/app/dialogs.h"
#include "gui/editor/text_panel.h"
#include "gui/editor/text_view.h"
#include "gui/models/text.h"
#include "gui/models/words.h"
#include "gui/views/grid_view.h"

namespace spanwright::app {

using models::fromUtf8;
using models::toUtf8;

void DeskWindow::copyCells() {
    if (m_text->view().hasFocus()) return m_text->view().copy();
    const QModelIndexList cells = m_gridView->members().selectionModel()->selectedIndexes();
    if (!cells.isEmpty()) QApplication::clipboard()->setText(m_grid->copied(cells));
}

void DeskWindow::pasteCells() {
    if (m_text->view().hasFocus()) return m_text->view().paste();
    const QModelIndex at = m_gridView->current();
    if (at.isValid()) tell(m_grid->paste(at, QApplication::clipboard()->text()));
}

void DeskWindow::takeBack() {
    if (const auto cell = m_gridView->currentCell()) tell(m_session->setValue(*cell, {}));
}

void DeskWindow::copyRight() { tell(m_grid->copyToRight(m_gridView->current())); }

void DeskWindow::link() {
    const auto cell = m_gridView->currentCell();
    if (!cell) return;
    LinkDialog dialog(*m_session, *cell, this);
    if (dialog.exec() != QDialog::Accepted || dialog.formula().isEmpty()) return;
    tell(m_session->setValue(*cell, dialog.formula()));
}

void DeskWindow::breakLink() {
    const auto cell = m_gridView->currentCell();
    if (!cell) return;
    if (m_session->outOfDate(*cell)) {
        tell(models::Refusal{tr("the value is being worked out anew"), tr("break the link when it is up to date")});
        return;
    }
    // The value to its last digit, so that nothing else changes.
    const meaning::Quantity& q = m_session->quantity(*cell);
    const eval::Value& value = m_session->job().value(cell->member, cell->quantity);
    if (value.known()) tell(m_session->setValue(*cell, fromUtf8(units::writeValue(value.one, q.unit))));
}

void DeskWindow::followLink() {
    const auto cell = m_gridView->currentCell();
    if (!cell) return;
    const job::Working working = m_session->job().working(cell->member, cell->quantity);
    for (const job::Working::Neighbour& n : working.comesFrom) {
        if (!goTo({n.member, n.name})) continue;
        if (!n.member.empty()) m_gridView->setFocus();
        return;
    }
    statusBar()->showMessage(tr("What %1 names is not there.").arg(fromUtf8(m_session->view(*cell).statedText)), 6000);
}

void DeskWindow::tick() {
    const auto cell = m_gridView->currentCell();
    if (!cell) return;
    const job::QuantityView& view = m_session->view(*cell);
    const QString what =
        tr("%1.%2 = %3: %4").arg(fromUtf8(m_session->job().member(cell->member).mark), fromUtf8(view.name), fromUtf8(view.shown), models::wordsOf(view.what));
    TickDialog dialog(what, m_settings.initials, QDate::currentDate().toString(Qt::ISODate), this);
    if (dialog.exec() != QDialog::Accepted) return;
    m_settings.initials = dialog.by();
    tell(m_session->addTick(*cell, dialog.by(), dialog.on()), tr("Ticked."));
}

std::optional<std::size_t> DeskWindow::currentMember() const {
    const QModelIndex at = m_gridView->current();
    return at.isValid() ? m_grid->memberAt(at.column()) : std::nullopt;
}

/// "J1" -> the next free of "J2", "J3" ...
QString DeskWindow::freeMark(const QString& like) const {
    qsizetype digits = like.size();
    while (digits > 0 && like[digits - 1].isDigit()) --digits;
    const QString stem = like.left(digits);
    for (int n = std::max(1, like.mid(digits).toInt());; ++n) {
        QString mark = stem + QString::number(n);
        if (!m_session->job().memberByMark(toUtf8(mark))) return mark;
    }
}

void DeskWindow::addMember() {
    std::vector<job::ReadySheet> sheets = job::readySheets(m_session->files(), toUtf8(m_library));
    // Sheets of the job itself, such as a copy beside it, can be used again.
    for (const models::SheetGroup& g : m_session->groups()) {
        const std::string name = toUtf8(g.name);
        if (std::none_of(sheets.begin(), sheets.end(), [&](const job::ReadySheet& s) { return s.name == name; })) sheets.push_back({name, toUtf8(g.title), {}});
    }
    AddMemberDialog dialog(sheets, freeMark(QStringLiteral("M1")), this);
    if (dialog.exec() != QDialog::Accepted) return;
    const std::string mark = toUtf8(dialog.mark());
    const models::Outcome outcome = m_session->edit(tr("add member %1").arg(dialog.mark()),
                                                    [&](job::Job& job) { return job.addMember(toUtf8(dialog.sheet()), mark, toUtf8(dialog.purpose())); });
    tell(outcome);
    if (outcome) return;
    m_session->finish();
    const auto member = m_session->job().memberByMark(mark);
    if (member && m_session->hasSheet(*member) && !m_session->job().member(*member).notStated.empty())
        goTo({mark, m_session->job().member(*member).notStated.front()});
}

// An edit of members or rows may be worked out aside. Where the next key is meant for what it made, or counts in what it moved, its end is waited for:
// what is shown would still be of before.

void DeskWindow::duplicateMember() {
    m_session->finish();
    const auto member = currentMember();
    if (!member) return;
    const std::string mark = m_session->job().member(*member).mark;
    const QString copy = freeMark(fromUtf8(mark));
    const auto cell = m_gridView->currentCell();
    const std::string row = cell ? m_session->quantity(*cell).name : std::string();
    const models::Outcome outcome =
        m_session->edit(tr("duplicate %1").arg(fromUtf8(mark)), [&](job::Job& job) { return job.duplicateMember(mark, toUtf8(copy)); });
    tell(outcome);
    m_session->finish();
    if (!outcome && !row.empty()) goTo({toUtf8(copy), row});
}

void DeskWindow::removeMember() {
    m_session->finish();
    const auto member = currentMember();
    if (!member) return;
    const job::MemberView& view = m_session->job().member(*member);
    const std::string mark = view.mark;
    if (!view.feedsMembers.empty()) {
        QStringList marks;
        for (const std::string& m : view.feedsMembers) marks << fromUtf8(m);
        QMessageBox box(QMessageBox::NoIcon, tr("Delete a member"),
                        tr("%1 carries values into %2, which could not be computed without it.").arg(fromUtf8(mark), marks.join(QStringLiteral(", "))),
                        QMessageBox::Ok | QMessageBox::Cancel, this);
        box.button(QMessageBox::Ok)->setText(tr("Delete"));
        if (box.exec() != QMessageBox::Ok) return;
    }
    tell(m_session->edit(tr("delete %1").arg(fromUtf8(mark)), [&](job::Job& job) { return job.removeMember(mark); }),
         tr("%1 is deleted; undo brings it back.").arg(fromUtf8(mark)));
}

void DeskWindow::renameMember() {
    const auto member = currentMember();
    if (!member) return;
    const std::string mark = m_session->job().member(*member).mark;
    const QString now = askWords(this, tr("Mark"), tr("&Mark of the member"), fromUtf8(mark));
    if (now.isEmpty() || toUtf8(now) == mark) return;
    const auto cell = m_gridView->currentCell();
    const std::string row = cell ? m_session->quantity(*cell).name : std::string();
    const models::Outcome outcome =
        m_session->edit(tr("%1 becomes %2").arg(fromUtf8(mark), now), [&](job::Job& job) { return job.renameMember(mark, toUtf8(now)); });
    tell(outcome);
    m_session->finish();
    if (!outcome && !row.empty()) goTo({toUtf8(now), row});
}

void DeskWindow::setCount() {
    const auto member = currentMember();
    if (!member) return;
    const job::MemberView& view = m_session->job().member(*member);
    const std::string mark = view.mark;
    const QString now = askWords(this, tr("How many"), tr("&How many of %1").arg(fromUtf8(mark)), fromUtf8(units::showNumber(view.count, units::Unit{})));
    if (now.isEmpty()) return;
    tell(m_session->edit(tr("%1: %2 off").arg(fromUtf8(mark), now), [&](job::Job& job) { return job.setCount(mark, toUtf8(now)); }));
}

void DeskWindow::setPurpose() {
    const auto member = currentMember();
    if (!member) return;
    const job::MemberView& view = m_session->job().member(*member);
    const std::string mark = view.mark;
    const QString now = askWords(this, tr("Purpose"), tr("What %1 is &for").arg(fromUtf8(mark)), fromUtf8(view.purpose));
    if (now.isEmpty()) return;
    tell(m_session->edit(tr("purpose of %1").arg(fromUtf8(mark)), [&](job::Job& job) { return job.setPurpose(mark, toUtf8(now)); }));
}

/// To the place of its neighbour among the members of the same sheet.
void DeskWindow::moveMember(int by) {
    m_session->finish();
    const QModelIndex at = m_gridView->current();
    const auto member = currentMember();
    const auto other = at.isValid() ? m_grid->memberAt(at.column() + by) : std::nullopt;
    if (!member || !other) return;
    const std::string mark = m_session->job().member(*member).mark;
    tell(m_session->edit(tr("move %1").arg(fromUtf8(mark)), [&](job::Job& job) { return job.moveMember(mark, *other); }));
}

} // namespace spanwright::app
