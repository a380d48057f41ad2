// SPDX-License-Identifier: MIT
// Saving: in its place, elsewhere, and of what is no longer on the disk.
#include <QApplication>
#include <QDir>
#include <QFileDialog>
#include <QFileInfo>
#include <QLineEdit>
#include <QMessageBox>
#include <QStatusBar>
#include <QTableView>

#include <utility>
#include <vector>

#include "engine/syntax/document.h"
#include "gui/app/desk_window.h"
#include "gui/editor/completing_line.h"
#include "gui/editor/text_panel.h"
#include "gui/models/short_text.h"
#include "gui/models/text.h"
#include "gui/views/cell_editor.h"
#include "gui/views/editing_delegate.h"
#include "gui/views/grid_view.h"
#include "gui/views/list_editor.h"
#include "gui/views/row_editor.h"

namespace spanwright::app {

using models::fromUtf8;
using models::toUtf8;

bool DeskWindow::isUnsaved() const { return m_session->isModified() || !m_gone.isEmpty(); }

/// Files of what is open are no longer on the disk: what is open stays, and is not saved.
void DeskWindow::filesGone(const QStringList& files) {
    for (const QString& file : files)
        if (!m_gone.contains(file)) m_gone << file;
    const QString name = QFileInfo(files.first()).fileName();
    statusBar()->showMessage(
        files.size() == 1
            ? tr("%1 is no longer on the disk. What is open stays; saving writes it again.").arg(name)
            : tr("%1 and %2 more files are no longer on the disk. What is open stays; saving writes them again.").arg(name).arg(files.size() - 1));
    refreshTitle();
    refreshActions();
}

/// What is being typed anywhere is taken, as if the person went on; what does not fit is kept where it was typed.
void DeskWindow::takeTyped() {
    m_text->commit();
    m_gridView->takeTyped();
    auto* delegate = qobject_cast<views::EditingDelegate*>(m_valuesView->itemDelegate());
    for (views::CellEditor* editor : m_valuesView->viewport()->findChildren<views::CellEditor*>(QString(), Qt::FindDirectChildrenOnly))
        if (editor->isTouched()) delegate->leave(*editor);
}

/// Where something stands that somebody typed and the job has not.
QStringList DeskWindow::notTaken() const {
    QStringList out = m_grid->notTaken() + m_values->notTaken();
    if (views::RowEditor* row = m_gridView->rowEditor(); row != nullptr && row->line().isModified() && !row->line().text().trimmed().isEmpty())
        out << tr("the row that is being written, \"%1\"").arg(models::shortened(row->line().text().trimmed(), 60));
    if (views::ListEditor* list = m_gridView->listEditor(); list != nullptr && list->rows().isWaiting())
        out << tr("the rows of %1.%2").arg(fromUtf8(list->rows().mark()), fromUtf8(list->rows().name()));
    return out;
}

/// Something is open to be typed into that the job does not have yet.
bool DeskWindow::isTyping() const {
    for (const QWidget* w = QApplication::focusWidget(); w != nullptr && w != this; w = w->parentWidget())
        if (qobject_cast<const views::CellEditor*>(w) != nullptr || qobject_cast<const views::RowEditor*>(w) != nullptr ||
            (qobject_cast<const QLineEdit*>(w) != nullptr && m_gridView->isAncestorOf(w)))
            return isAncestorOf(w);
    return false;
}

bool DeskWindow::save() {
    if (!m_session->isOpen()) return true;
    takeTyped();
    models::Outcome outcome = m_session->save();
    for (qsizetype i = 0; !outcome && i < m_gone.size();) {
        // Edited, it was written with the rest.
        const std::string path = toUtf8(m_gone[i]);
        const auto text = m_session->text(path);
        if (text && !m_session->files().exists(path)) {
            QDir().mkpath(QFileInfo(m_gone[i]).absolutePath());
            if (const auto done = m_session->files().write(path, *text); !done)
                outcome = models::Refusal{tr("%1 could not be saved: %2").arg(m_gone[i], fromUtf8(done.error().message)),
                                          tr("the text is still here and unsaved; mend the place and save again, or save it elsewhere")};
        }
        if (outcome)
            ++i;
        else
            m_gone.removeAt(i);
    }
    lookAgain();
    refreshTitle();
    refreshActions();
    const QStringList without = notTaken();
    tell(outcome, without.isEmpty() ? tr("Saved.") : tr("Saved without what is not taken: %1.").arg(without.join(QStringLiteral("; "))));
    return !outcome;
}

void DeskWindow::chooseElsewhere() {
    takeTyped();
    const bool single = m_session->job().isSingleSheet();
    QString path =
        QFileDialog::getSaveFileName(this, tr("Where it is kept from now on"), m_session->path(), single ? tr("Sheets (*.spansheet)") : tr("Jobs (*.spanjob)"));
    if (path.isEmpty()) return;
    const QString ending = single ? QStringLiteral(".spansheet") : QStringLiteral(".spanjob");
    if (!path.endsWith(ending)) path += ending;
    saveElsewhere(path);
}

/// Writes the job as it stands to another place, with the job's own sheets, tables and prices that lie below its folder, and goes on there. What
/// was open stays on the disk as it is.
bool DeskWindow::saveElsewhere(const QString& path) {
    takeTyped();
    if (path == m_session->path()) return save();
    const QDir from = QFileInfo(m_session->path()).absoluteDir(), to = QFileInfo(path).absoluteDir();
    io::Files& files = m_session->files();
    const auto refuse = [this](const QString& what, const QString& mend) {
        tell(models::Refusal{what, mend});
        return false;
    };
    std::vector<std::pair<QString, std::string>> written;
    if (from != to) {
        QStringList beside = m_session->filesRead();
        const std::string own = toUtf8(m_session->path());
        const auto document = syntax::Document::read(own, syntax::FileKind::Job, m_session->text(own).value_or(std::string()));
        for (const syntax::Row& row : document.rows())
            if (row.kind == syntax::RowKind::Prices && row->path.present()) beside << from.absoluteFilePath(fromUtf8(row->path.text));
        for (const QString& file : beside) {
            const QString within = from.relativeFilePath(file);
            if (file == m_session->path() || within.startsWith(QStringLiteral("..")) || QDir::isAbsolutePath(within) || m_session->job().isReady(toUtf8(file)))
                continue;
            std::optional<std::string> bytes = m_session->text(toUtf8(file));
            if (!bytes)
                if (auto read = files.read(toUtf8(file))) bytes = std::move(read).value();
            if (!bytes) continue; // it was not there before either
            const QString target = to.absoluteFilePath(within);
            const auto there = files.read(toUtf8(target));
            if (there && there.value() != *bytes)
                return refuse(tr("%1 is there already, and is another than this job reads").arg(target), tr("choose an empty folder"));
            if (!there) written.emplace_back(target, std::move(*bytes));
        }
    }
    // The job last: where something cannot be written, there is no job that lacks it.
    written.emplace_back(path, m_session->text(toUtf8(m_session->path())).value_or(std::string()));
    for (const auto& [target, bytes] : written) {
        QDir().mkpath(QFileInfo(target).absolutePath());
        if (const auto done = files.write(toUtf8(target), bytes); !done)
            return refuse(tr("%1 could not be saved: %2").arg(target, fromUtf8(done.error().message)), tr("choose another folder; nothing here is lost"));
    }
    if (!openKept(path)) return false;
    statusBar()->showMessage(tr("Saved as %1; what it was before stays at its old place.").arg(path), 8000);
    return true;
}

bool DeskWindow::mayLeave() {
    takeTyped(); // what was typed a moment ago is an edit too
    if (!m_session->isOpen()) return true;
    const QStringList lost = notTaken();
    if (!isUnsaved() && lost.isEmpty()) return true;
    const QString name = QFileInfo(m_session->path()).fileName();
    const QString why = lost.isEmpty() ? QString() : tr("Not taken, and lost when this is left: %1.").arg(lost.join(QStringLiteral("; ")));
    QMessageBox box(QMessageBox::NoIcon, tr("Unsaved edits"),
                    m_session->isModified() ? tr("%1 has edits that are not saved.").arg(name)
                    : isUnsaved()           ? tr("%1 is no longer on the disk.").arg(QFileInfo(m_gone.first()).fileName())
                                            : why,
                    QMessageBox::Discard | QMessageBox::Cancel | (isUnsaved() ? QMessageBox::Save : QMessageBox::NoButton), this);
    if (isUnsaved()) box.setInformativeText(why);
    box.setDefaultButton(isUnsaved() ? QMessageBox::Save : QMessageBox::Cancel);
    switch (box.exec()) {
    case QMessageBox::Save: return save();
    case QMessageBox::Discard: return true;
    default: return false;
    }
}

} // namespace spanwright::app
