// SPDX-License-Identifier: MIT
#pragma once

#include <QDialog>
#include <QTimer>

#include <atomic>
#include <functional>
#include <memory>
#include <optional>
#include <thread>

#include "engine/report/build.h"
#include "engine/report/facts.h"
#include "gui/paper/page_book.h"

class QComboBox;
class QLabel;
class QListWidget;
class QProgressBar;
class QPushButton;
class QThread;

namespace spanwright::app {

class PaperView;

/// The calculation on paper: which members, whole or in brief, what paper; its pages as they will be; to a PDF file or to a printer.
/// What is printed is how the job stood when this was opened.
class PrintDialog : public QDialog {
    Q_OBJECT

public:
    /// `member`: the one that the person was at; all are chosen where there is none. `proposed`: the name of the file.
    PrintDialog(report::JobFacts facts, std::optional<std::size_t> member, const QString& proposed, QWidget* parent);
    /// Planning under way. It is done on a thread of its own, which asks `stop` and may tell how far it is.
    struct Planning {
        std::atomic<bool> stop = false; ///< with the best plan so far
        std::function<void(const QString& group, qint64 boards)> tell;
    };
    using Plan = std::function<std::shared_ptr<const shop::Workshop>(const std::shared_ptr<Planning>&)>;
    /// How the workshop's pages come about: called once, on a thread of its own, when the whole job is to be printed. Until it is
    /// done the pages before them are shown and nothing can be written. What it returns may be null: then there are none.
    void setWorkshop(Plan work);
    ~PrintDialog() override;
    [[nodiscard]] PaperView& pages() { return *m_view; }
    /// True while the workshop's pages are being planned.
    [[nodiscard]] bool isPlanning() const { return m_planner.joinable(); }
    /// The pages as chosen, waited for: also for what is being planned, if it belongs to them.
    [[nodiscard]] std::shared_ptr<const paper::PageBook> book();
    /// Writes them; false after saying why not.
    bool savePdf(const QString& path);
    void print();

private:
    [[nodiscard]] report::ReportScope scope() const;
    [[nodiscard]] paper::PageFormat format() const;
    void choose(bool all);
    void set();
    void take();
    void startPlanning();
    void endPlanning(); ///< waits for it
    void showState();
    [[nodiscard]] bool isWhole() const;
    void askAndSave();
    report::JobFacts m_facts;
    Plan m_work; ///< empty once it was called
    std::thread m_planner;
    std::shared_ptr<Planning> m_planning;
    std::shared_ptr<const shop::Workshop> m_planned; ///< written by the thread, read when it is over
    std::shared_ptr<const shop::Workshop> m_shop;
    QString m_proposed;
    QListWidget* m_members;
    QComboBox *m_form, *m_size;
    QLabel* m_count;
    QPushButton *m_save, *m_print;
    QLabel* m_planWords;
    QProgressBar* m_bar;
    QPushButton* m_stop;
    PaperView* m_view;
    QTimer m_soon;
    std::unique_ptr<QThread> m_setting; ///< sets pages in the background
    std::shared_ptr<const paper::PageBook> m_set;
};

} // namespace spanwright::app
