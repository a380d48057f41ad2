// SPDX-License-Identifier: MIT
// Files: opening, saving, what an earlier run left, what another program changed.
#include <QAction>
#include <QFile>
#include <QFileDialog>
#include <QFileInfo>
#include <QMenu>
#include <QMessageBox>
#include <QStatusBar>

#include "gui/app/desk_window.h"
#include "gui/app/dialogs.h"
#include "gui/editor/text_panel.h"
#include "gui/models/text.h"
#include "gui/views/first_screen.h"

namespace spanwright::app {

using models::fromUtf8;
using models::toUtf8;

bool DeskWindow::openFile(const QString& path) {
    if (m_session->isOpen() && !mayLeave()) return false;
    m_history.clear();
    m_session->open(path);
    m_settings.touch(path);
    refreshRecent();
    if (const auto found = m_journal->found()) {
        const models::Outcome back = m_session->bringBack(found->texts);
        if (back) {
            tell(back);
        } else {
            const QString words = found->fileChanged ? tr("The last run did not end well. Its unsaved edits are here again; the file was changed since, so "
                                                          "look them over. Undo takes them away.")
                                                     : tr("The last run did not end well. Its unsaved edits are here again; undo takes them away.");
            statusBar()->showMessage(words);
        }
    }
    return true;
}

void DeskWindow::chooseFile() {
    const QString from = m_session->isOpen() ? QFileInfo(m_session->path()).absolutePath() : QString();
    const QString path = QFileDialog::getOpenFileName(this, tr("Open a job or a sheet"), from, tr("Jobs and sheets (*.spanjob *.spansheet);;All files (*)"));
    if (!path.isEmpty()) openFile(path);
}

bool DeskWindow::save() {
    if (!m_session->isOpen()) return true;
    const models::Outcome outcome = m_session->save();
    tell(outcome, tr("Saved."));
    return !outcome;
}

bool DeskWindow::mayLeave() {
    m_text->commit(); // what was typed a moment ago is an edit too
    if (!m_session->isOpen() || !m_session->isModified()) return true;
    QMessageBox box(QMessageBox::NoIcon, tr("Unsaved edits"), tr("%1 has edits that are not saved.").arg(QFileInfo(m_session->path()).fileName()),
                    QMessageBox::Save | QMessageBox::Discard | QMessageBox::Cancel, this);
    box.setDefaultButton(QMessageBox::Save);
    switch (box.exec()) {
    case QMessageBox::Save: return save();
    case QMessageBox::Discard: return true;
    default: return false;
    }
}

void DeskWindow::lookAgain() { m_watch.look(m_session->filesRead()); }

void DeskWindow::filesChanged(const QStringList& files) {
    if (!m_session->isOpen()) return;
    m_text->commit();
    if (!m_session->isModified()) {
        m_session->reload();
        statusBar()->showMessage(tr("%1 was changed by another program and is read anew.").arg(QFileInfo(files.first()).fileName()), 8000);
        return;
    }
    for (const QString& file : files) {
        const auto theirs = m_session->files().read(toUtf8(file));
        const std::string mine = m_session->job().text(toUtf8(file)).value_or(std::string());
        // What another program wrote may be what stands here already.
        if (theirs && theirs.value() == mine) continue;
        DifferenceDialog dialog(file, models::lineDifference(theirs ? theirs.value() : std::string(), mine), this);
        dialog.exec();
        if (dialog.answer() == DifferenceDialog::Answer::TakeTheirs) {
            m_session->reload();
            return;
        }
    }
}

void DeskWindow::refreshRecent() {
    m_recent->clear();
    for (const QString& path : m_settings.recent) {
        QAction* action = m_recent->addAction(QString(path).replace(QLatin1Char('&'), QStringLiteral("&&")));
        connect(action, &QAction::triggered, this, [this, path] { openFile(path); });
    }
    m_recent->setEnabled(!m_settings.recent.isEmpty());
    m_first->setRecent(m_settings.recent);
}

} // namespace spanwright::app
