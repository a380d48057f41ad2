// SPDX-License-Identifier: MIT
#pragma once

#include <QMainWindow>
#include <QPersistentModelIndex>

#include <functional>
#include <memory>
#include <optional>

#include "gui/app/settings.h"
#include "gui/models/file_watch.h"
#include "gui/models/governing_walk.h"
#include "gui/models/grid_model.h"
#include "gui/models/history.h"
#include "gui/models/job_session.h"
#include "gui/models/job_values.h"
#include "gui/models/journal.h"
#include "gui/models/live_workshop.h"
#include "gui/models/problem_list.h"
#include "gui/views/row_editor.h"

class QAction;
class QActionGroup;
class QComboBox;
class QDockWidget;
class QLabel;
class QStackedWidget;
class QTabBar;
class QTableView;

namespace spanwright::editor {
class TextPanel;
}
namespace spanwright::views {
class CautionsFoot;
class CostView;
class CuttingView;
class FirstScreen;
class GridView;
class PlotsPanel;
class MendsView;
class ScheduleView;
class SentenceBar;
class TrialGlance;
class WorkingPanel;
} // namespace spanwright::views

namespace spanwright::app {

class PrintDialog;
class VaryDialog;

/// The window: a job filled in, audited and adapted. It wires models to views and asks the session for edits; it
/// computes nothing and keeps nothing of the job.
class DeskWindow : public QMainWindow {
    Q_OBJECT

public:
    /// `library`: folder of the ready sheets; `journalFolder`: where unsaved edits outlive a crash.
    DeskWindow(const QString& library, const QString& journalFolder, QWidget* parent = nullptr);
    ~DeskWindow() override;

    /// Opens a job or a sheet; asks first when edits are unsaved. False when the answer was no.
    bool openFile(const QString& path);
    /// Opens a file once the window is seen, so that a large one does not keep it from being seen.
    void openSoon(const QString& path);
    [[nodiscard]] models::JobSession& session() { return *m_session; }
    [[nodiscard]] models::GridModel& grid() { return *m_grid; }
    [[nodiscard]] views::GridView& gridView() { return *m_gridView; }
    [[nodiscard]] views::WorkingPanel& working() { return *m_working; }
    [[nodiscard]] views::SentenceBar& sentence() { return *m_sentence; }
    [[nodiscard]] views::PlotsPanel& plots() { return *m_plots; }
    [[nodiscard]] editor::TextPanel& text() { return *m_text; }
    [[nodiscard]] models::LiveWorkshop& live() { return *m_live; }
    [[nodiscard]] views::ScheduleView& schedule() { return *m_schedule; }
    [[nodiscard]] views::CuttingView& cutting() { return *m_cutting; }
    [[nodiscard]] views::CostView& cost() { return *m_cost; }
    /// Writes every board and panel as an SVG file; false after saying why not.
    bool exportDrawings(const QString& folder);
    [[nodiscard]] views::CautionsFoot& cautions() { return *m_cautions; }
    [[nodiscard]] QAction* action(const QString& name) const { return findChild<QAction*>(name); }
    [[nodiscard]] views::TrialGlance& glance() { return *m_glance; }
    [[nodiscard]] views::MendsView& sentenceMends() { return *m_sentenceMends; }
    /// Where values are varied; null when it is not open.
    [[nodiscard]] VaryDialog* varyDialog();
    /// The calculation on paper; null when it is not open.
    [[nodiscard]] PrintDialog* printDialog();
    /// Ticks and remarks, counted, as the foot of the window has it.
    [[nodiscard]] QString reviewInWords() const;
    [[nodiscard]] views::FirstScreen& first() { return *m_first; }
    /// Keeps the answers of the first page as a job and opens it; false when that is not done, which has been told.
    bool keepFirstAs(const QString& path);
    /// Writes the job with what it reads from its own folder to another place, and goes on there; false after saying why not.
    bool saveElsewhere(const QString& path);
    void setTheme(Theme theme);
    void setLetters(int percent);
    /// Shows a value and remembers it in the history.
    bool goTo(const models::Spot& spot);
    /// Shows one of the job's own values.
    bool goToJobValue(const std::string& name);

protected:
    void closeEvent(QCloseEvent* event) override;
    void keyPressEvent(QKeyEvent* event) override;
    void resizeEvent(QResizeEvent* event) override;

private:
    // desk_window.cpp
    void build();
    void jobReset();
    void jobSettled();
    void currentChanged();
    void refreshTabs();
    void refreshCautions();
    void refreshTitle();
    void refreshActions();
    void tell(const models::Outcome& outcome, const QString& done = {});
    void jump(const models::Trouble& trouble);
    // desk_refusals.cpp
    void buildRefusals();
    void tellRefusal(const QModelIndex& at, const QString& reason);
    [[nodiscard]] QModelIndex refusalCurrent() const;
    void lookAtRefusal();
    void dropRefusal();
    [[nodiscard]] QString refusalAt(const QModelIndex& at) const;
    // desk_actions.cpp
    void buildActions();
    QAction* add(QMenu& menu, const char* name, const QString& text, const QList<QKeySequence>& keys, const std::function<void()>& what);
    void contextMenu(const QPoint& at);
    void moveInHistory(bool back);
    void walkDown();
    void findValue();
    void nextTrouble();
    // desk_text.cpp
    void buildText();
    void toText();
    void fromText(const models::Spot& spot);
    // desk_files.cpp
    void chooseFile();
    bool loadFile(const QString& path);
    bool openKept(const QString& path);
    void filesChanged(const QStringList& files);
    void lookAgain();
    void refreshRecent();
    // desk_saving.cpp
    [[nodiscard]] bool isUnsaved() const;
    bool save();
    void chooseElsewhere();
    bool mayLeave();
    void takeTyped();
    [[nodiscard]] QStringList notTaken() const;
    [[nodiscard]] bool isTyping() const;
    void filesGone(const QStringList& files);
    // desk_paper.cpp
    void onPaper();
    // desk_workshop.cpp
    void buildWorkshop(const std::function<QDockWidget*(const char*, const QString&, QWidget*)>& dock);
    void workshopSeen();
    void hideShop();
    void toShop(std::size_t which);
    void forWorkshop();
    void goToMember(const QString& mark, const QString& check);
    void goToPiece(const QString& mark, const QString& piece);
    void markInWorkshop(const std::string& mark);
    [[nodiscard]] const shop::Workshop* workshopNow();
    bool exportText(const QString& title, const QString& name, const std::function<std::string(const shop::Workshop&)>& what);
    bool keepFile(const QString& path, const std::string& bytes);
    // desk_first.cpp
    void buildFirst();
    void newJob();
    void showDesk();
    void widenDocks();
    void keepFirst();
    bool mayLeaveFirst();
    // desk_edits.cpp
    void copyCells();
    void pasteCells();
    void takeBack();
    void copyRight();
    void link();
    void breakLink();
    void followLink();
    void tick();
    // desk_review.cpp
    void remark();
    void answer(std::optional<std::size_t> index);
    void removeRemark();
    void removeTick();
    void refreshReview();
    [[nodiscard]] std::optional<std::size_t> currentRemark() const;
    [[nodiscard]] QString valueInWords(models::CellId cell) const;
    // desk_trials.cpp
    void buildTrials();
    void buildTrialActions();
    void refreshTrialActions(bool open, std::optional<models::CellId> cell);
    void varyValues();
    void pinCurrent();
    void pinTrial(const std::string& text);
    [[nodiscard]] std::optional<std::string> currentJobValue() const;
    // desk_sheets.cpp
    struct SheetRow {
        std::string file, name;
        std::uint32_t row = 0;
        bool isValue = false; ///< else the heading of a part
    };
    [[nodiscard]] std::optional<SheetRow> currentSheetRow() const;
    void copySheet();
    void addSheetRow();
    void changeSheetRow();
    void openRow(const views::RowEditor::Place& place, const QString& text, bool below);
    void moveSheetRow(int by);
    void removeSheetRow();
    void showDifferences();
    void editList(models::CellId cell);
    // desk_edits.cpp
    void addMember();
    void duplicateMember();
    void removeMember();
    void renameMember();
    void setCount();
    void setPurpose();
    void moveMember(int by);
    [[nodiscard]] std::optional<std::size_t> currentMember() const;
    [[nodiscard]] QString freeMark(const QString& like) const;

    QString m_library;
    Settings m_settings;
    std::unique_ptr<models::JobSession> m_session;
    std::unique_ptr<models::Journal> m_journal;
    std::unique_ptr<models::GridModel> m_grid;
    std::unique_ptr<models::JobValues> m_values;
    std::unique_ptr<models::ProblemList> m_problems;
    models::History m_history;
    models::FileWatch m_watch;
    std::unique_ptr<models::GoverningWalk> m_walk;
    std::unique_ptr<models::LiveWorkshop> m_live;
    bool m_workingSeen = true, m_plotsSeen = true, m_textSeen = false; ///< the docks, once a job is open
    bool m_loading = false;                                            ///< a file is being loaded: no other is begun
    bool m_moving = false;                                             ///< through the history: what is shown is no new visit
    QStringList m_gone;                                                ///< files of what is open that are no longer on the disk
    QString m_printed;                                                 ///< the job that pages were last made of
    bool m_readSincePrint = false;                                     ///< it was read anew since
    QPersistentModelIndex m_refusedAt;                                 ///< whose refusal stands in the foot of the window
    QString m_refusalTold;                                             ///< as it stands there
    bool m_refusalFresh = false;                                       ///< leaving the cell brought it about
    int m_baseLetters = 0;                                             ///< the system's size of letters, in hundredths of a point

    QMainWindow* m_inner = nullptr; ///< grid and docks; the cautions stand below all of it
    QStackedWidget* m_stack = nullptr;
    QTabBar* m_tabs = nullptr;
    QComboBox* m_filter = nullptr;
    views::GridView* m_gridView = nullptr;
    QTableView* m_valuesView = nullptr;
    views::FirstScreen* m_first = nullptr;
    QWidget* m_desk = nullptr;
    QStackedWidget* m_pages = nullptr;
    views::SentenceBar* m_sentence = nullptr;
    views::WorkingPanel* m_working = nullptr;
    views::PlotsPanel* m_plots = nullptr;
    views::TrialGlance* m_glance = nullptr;
    views::MendsView* m_sentenceMends = nullptr;
    editor::TextPanel* m_text = nullptr;
    views::CautionsFoot* m_cautions = nullptr;
    QDockWidget* m_workingDock = nullptr;
    QDockWidget* m_plotsDock = nullptr;
    QDockWidget* m_textDock = nullptr;
    views::ScheduleView* m_schedule = nullptr;
    views::CuttingView* m_cutting = nullptr;
    views::CostView* m_cost = nullptr;
    std::vector<QDockWidget*> m_shopDocks; ///< schedule, cutting, cost
    bool m_scheduleSeen = false;
    std::vector<bool> m_shopSeen; ///< which of them, once a job is open
    QLabel* m_ticks = nullptr;
    QMenu* m_recent = nullptr;
    QMenu* m_valueMenu = nullptr;
    QMenu* m_memberMenu = nullptr;
    QMenu* m_sheetMenu = nullptr;
};

} // namespace spanwright::app
