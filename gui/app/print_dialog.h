// SPDX-License-Identifier: MIT
#pragma once

#include <QDialog>
#include <QTimer>

#include <functional>
#include <memory>
#include <optional>

#include "engine/report/build.h"
#include "engine/report/facts.h"
#include "gui/paper/page_book.h"

class QComboBox;
class QLabel;
class QListWidget;
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
    /// How the workshop's pages come about; asked once, when the whole job is to be printed: planning takes its time.
    void setWorkshop(std::function<std::shared_ptr<const shop::Workshop>()> work);
    ~PrintDialog() override;
    [[nodiscard]] PaperView& pages() { return *m_view; }
    /// The pages as chosen, waited for.
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
    void askAndSave();
    report::JobFacts m_facts;
    std::function<std::shared_ptr<const shop::Workshop>()> m_work;
    std::shared_ptr<const shop::Workshop> m_shop;
    QString m_proposed;
    QListWidget* m_members;
    QComboBox *m_form, *m_size;
    QLabel* m_count;
    QPushButton *m_save, *m_print;
    PaperView* m_view;
    QTimer m_soon;
    std::unique_ptr<QThread> m_setting; ///< sets pages in the background
    std::shared_ptr<const paper::PageBook> m_set;
};

} // namespace spanwright::app
