// SPDX-License-Identifier: MIT
// The page that stands where no job is open, and how its answers become a job in a file.
#include <QDockWidget>
#include <QFileDialog>
#include <QFileInfo>
#include <QMessageBox>
#include <QPushButton>
#include <QStackedWidget>
#include <QTimer>

#include "gui/app/desk_window.h"
#include "gui/models/text.h"
#include "gui/views/first_screen.h"
#include "gui/views/question_form.h"

namespace spanwright::app {

using models::fromUtf8;
using models::toUtf8;

namespace {

/// The example that comes with the program: beside the ready sheets, as built and as installed.
QString exampleBeside(const QString& library) {
    const QString file = QStringLiteral("packing-shed/packing-shed.spanjob");
    for (const char* folder : {"/../examples/", "/examples/"}) {
        const QFileInfo found(library + QLatin1String(folder) + file);
        if (!library.isEmpty() && found.isFile()) return found.canonicalFilePath();
    }
    return {};
}

} // namespace

void DeskWindow::buildFirst() {
    m_first = new views::FirstScreen(m_library, exampleBeside(m_library), m_stack);
    m_stack->insertWidget(0, m_first);
    m_stack->setCurrentWidget(m_first);
    m_first->setFocus(Qt::OtherFocusReason); // keys go to the first picture from the start
    connect(m_first, &views::FirstScreen::openWanted, this, &DeskWindow::chooseFile);
    connect(m_first, &views::FirstScreen::fileWanted, this, [this](const QString& path) { openFile(path); });
    connect(m_first, &views::FirstScreen::keepWanted, this, &DeskWindow::keepFirst);
    connect(m_first, &views::FirstScreen::sheetChanged, this, &DeskWindow::refreshCautions);
}

/// Shows the first page, also above an open job, which stays as it is.
void DeskWindow::newJob() {
    if (m_stack->currentWidget() != m_first) {
        m_workingSeen = !m_workingDock->isHidden();
        m_plotsSeen = !m_plotsDock->isHidden();
        m_textSeen = !m_textDock->isHidden();
        m_workingDock->hide();
        m_plotsDock->hide();
        m_textDock->hide();
        hideShop();
        m_stack->setCurrentWidget(m_first);
    }
    m_first->showPictures();
    refreshActions();
}

/// Back from the first page to the job that is open.
void DeskWindow::showDesk() {
    if (m_stack->currentWidget() == m_desk) return;
    m_stack->setCurrentWidget(m_desk);
    m_workingDock->setVisible(m_workingSeen);
    m_plotsDock->setVisible(m_plotsSeen);
    m_textDock->setVisible(m_textSeen);
    for (std::size_t i = 0; i < m_shopDocks.size(); ++i) m_shopDocks[i]->setVisible(m_shopSeen[i]);
    // Once they are laid out.
    QTimer::singleShot(0, this, &DeskWindow::widenDocks);
    refreshActions();
}

void DeskWindow::openSoon(const QString& path) {
    showDesk();
    QTimer::singleShot(0, this, [this, path] {
        if (!openFile(path) && !m_session->isOpen()) newJob();
    });
}

void DeskWindow::keepFirst() {
    m_first->takeTyped();
    if (const auto text = m_first->job().text(); !text) {
        tell(text.error());
        if (const std::vector<int> no = m_first->job().refused(); !no.empty())
            m_first->form().goTo(m_first->job().index(no.front()).data(models::FirstJob::NameRole).toString());
        return;
    }
    QString path = QFileDialog::getSaveFileName(this, tr("Where the new job is kept"), QString(), tr("Jobs (*.spanjob)"));
    if (path.isEmpty()) return;
    if (!path.endsWith(QStringLiteral(".spanjob"))) path += QStringLiteral(".spanjob");
    keepFirstAs(path);
}

bool DeskWindow::keepFirstAs(const QString& path) {
    if (m_session->isOpen() && !mayLeave()) return false;
    m_first->takeTyped();
    const auto text = m_first->job().text();
    if (!text) {
        tell(text.error());
        return false;
    }
    const auto written = m_session->files().write(toUtf8(path), text.value());
    if (!written) {
        tell(models::Refusal{tr("%1 could not be written: %2").arg(path, fromUtf8(written.error().message)),
                             tr("choose another folder; the answers are still here")});
        return false;
    }
    m_first->job().noteKept();
    return openKept(QFileInfo(path).absoluteFilePath()); // what was open has been asked about
}

/// Answers that are kept nowhere are asked about before the window goes.
bool DeskWindow::mayLeaveFirst() {
    m_first->takeTyped();
    if (!m_first->hasAnswers() || m_first->job().isKept()) return true;
    QMessageBox box(QMessageBox::NoIcon, tr("Answers that are not kept"), tr("The answers of the first page are not kept as a job."),
                    QMessageBox::Save | QMessageBox::Discard | QMessageBox::Cancel, this);
    box.button(QMessageBox::Save)->setText(tr("&Keep as a job..."));
    box.setDefaultButton(QMessageBox::Save);
    switch (box.exec()) {
    case QMessageBox::Save:
        newJob();
        keepFirst();
        return m_first->job().isKept();
    case QMessageBox::Discard: return true;
    default: return false;
    }
}

} // namespace spanwright::app
