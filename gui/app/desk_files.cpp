// SPDX-License-Identifier: MIT
// Files: opening, what an earlier run left, what another program changed.
#include <QAction>
#include <QFile>
#include <QFileDialog>
#include <QFileInfo>
#include <QMenu>
#include <QMessageBox>
#include <QStackedWidget>
#include <QStatusBar>

#include "gui/app/desk_window.h"
#include "gui/app/dialogs.h"
#include "gui/app/load_dialog.h"
#include "gui/editor/text_panel.h"
#include "gui/models/text.h"
#include "gui/models/words.h"
#include "gui/views/first_screen.h"
#include "gui/views/grid_view.h"

namespace spanwright::app {

using models::fromUtf8;
using models::toUtf8;

bool DeskWindow::openFile(const QString& asked) {
    // By one name wherever it is opened from: the list of recent files and what a crash leaves go by it.
    const QString path = QFileInfo(asked).absoluteFilePath();
    if (m_session->isOpen() && !mayLeave()) return false;
    return openKept(path);
}

/// Opens a file in place of what is open, of which nothing is left to be saved.
bool DeskWindow::openKept(const QString& path) {
    if (!loadFile(path)) return false;
    m_history.clear();
    m_gridView->closeList();
    if (m_stack->currentWidget() == m_desk) m_gridView->setFocus(Qt::OtherFocusReason);
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

/// Loads a file on a thread of its own. What is open stays until all of the other is there; a file that cannot be read,
/// or one that is stopped, changes nothing.
bool DeskWindow::loadFile(const QString& path) {
    if (m_loading) return false;
    m_loading = true;
    auto loading = m_session->startLoading(path);
    std::optional<models::LoadedJob> loaded = LoadDialog(*loading, this).run();
    m_loading = false;
    const QString name = QFileInfo(path).fileName();
    if (!loaded) {
        statusBar()->showMessage(m_session->isOpen() ? tr("Stopped: %1 is not opened, and what was open is as it was.").arg(name)
                                                     : tr("Stopped: %1 is not opened.").arg(name));
        return false;
    }
    if (!loaded->readable) {
        const std::vector<diag::Diagnostic> why = loaded->copy.job->diagnostics();
        const models::Refusal no{why.empty() ? tr("%1 could not be read").arg(path) : QStringLiteral("%1: %2").arg(path, models::wordsOf(why.front().message)),
                                 why.empty() ? QString() : models::wordsOf(why.front().mend)};
        if (m_session->isOpen()) {
            tell(no);
            return false;
        }
        // Without a job the sentence above the grid says it.
    }
    m_gone.clear();
    // Whatever another program has written may be in it: what was printed of the job is of before.
    m_readSincePrint = true;
    m_session->adopt(std::move(*loaded));
    return true;
}

void DeskWindow::chooseFile() {
    const QString from = m_session->isOpen() ? QFileInfo(m_session->path()).absolutePath() : QString();
    const QString path = QFileDialog::getOpenFileName(this, tr("Open a job or a sheet"), from, tr("Jobs and sheets (*.spanjob *.spansheet);;All files (*)"));
    if (!path.isEmpty()) openFile(path);
}

void DeskWindow::lookAgain() { m_watch.look(m_session->filesRead()); }

void DeskWindow::filesChanged(const QStringList& files) {
    if (!m_session->isOpen()) return;
    m_text->commit();
    QStringList gone, changed;
    for (const QString& file : files) {
        const bool ours = m_session->text(toUtf8(file)).has_value() && !(m_session->job().isReady(toUtf8(file)) && !m_session->job().isSingleSheet());
        (ours && !QFile::exists(file) ? gone : changed) << file;
        if (QFile::exists(file)) m_gone.removeAll(file);
    }
    if (!gone.isEmpty()) filesGone(gone);
    if (changed.isEmpty()) return;
    refreshTitle();
    refreshActions();
    if (!isUnsaved()) {
        if (!loadFile(m_session->path())) return;
        statusBar()->showMessage(tr("%1 was changed by another program and is read anew.").arg(QFileInfo(changed.first()).fileName()), 8000);
        return;
    }
    for (const QString& file : changed) {
        const auto theirs = m_session->files().read(toUtf8(file));
        const std::string mine = m_session->text(toUtf8(file)).value_or(std::string());
        // What another program wrote may be what stands here already.
        if (theirs && theirs.value() == mine) continue;
        DifferenceDialog dialog(file, models::lineDifference(theirs ? theirs.value() : std::string(), mine), this);
        dialog.exec();
        if (dialog.answer() == DifferenceDialog::Answer::TakeTheirs) {
            (void)loadFile(m_session->path());
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
