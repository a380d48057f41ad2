// SPDX-License-Identifier: MIT
#pragma once

#include <QDialog>
#include <QTimer>

#include <functional>
#include <memory>
#include <optional>
#include <string>

#include "gui/app/paper_maker.h"
#include "gui/app/paper_out.h"

class QComboBox;
class QLabel;
class QListWidget;
class QProgressBar;
class QPrinter;
class QPushButton;

namespace spanwright::app {

class PaperView;

/// The calculation on paper: which members, whole or in brief, what paper; its pages as they will be; to a PDF file or to a printer.
/// It stands beside the window, which can be worked in meanwhile: all that takes long is done on other threads. What is printed is how the
/// job stood when it was read; setOutOfDate() says that it stands otherwise now.
class PrintDialog : public QDialog {
    Q_OBJECT

public:
    /// `mark`: the member that the person was at; all are chosen where there is none. `proposed`: the name of the file.
    PrintDialog(PaperMaker::Open open, std::optional<std::string> mark, const QString& proposed, QWidget* parent);
    [[nodiscard]] PaperView& pages() { return *m_view; }
    [[nodiscard]] PaperMaker& maker() { return m_maker; }
    [[nodiscard]] PaperOut& out() { return m_out; }
    /// The pages as chosen are there, and can be written.
    [[nodiscard]] bool isReady() const;
    /// The pages as chosen; null while they are not ready, and where no member is chosen.
    [[nodiscard]] std::shared_ptr<const paper::PageBook> book() const;
    /// Begins to write them; false where they are not ready. What became of it is told in words, a failure in a message, too.
    bool savePdf(const QString& path);
    /// Begins to print pages, counted from 1.
    bool printTo(const std::shared_ptr<QPrinter>& printer, int first, int last);
    /// What was said last of pages and files.
    [[nodiscard]] QString told() const;
    /// `why`: in words, why the pages are not of the job as it stands; empty: they are. `asNow`: gives what reads it as it stands; empty: nothing can
    /// be done about it.
    void setOutOfDate(const QString& why, std::function<PaperMaker::Open()> asNow = {});
    /// Makes the pages of the job as it stands.
    void makeAnew();
    /// Asks first if something is being written. True: it may be closed.
    bool mayClose();

public Q_SLOTS:
    /// Also for the cross of its frame.
    void reject() override;

private:
    void listMembers();
    [[nodiscard]] std::optional<PaperMaker::Choice> choice() const;
    void choose(bool all);
    void begun();
    void showState();
    void ended(PaperOut::End end, const QString& words);
    void askAndSave();
    void print();
    PaperMaker m_maker;
    PaperOut m_out;
    std::optional<std::string> m_mark;
    std::function<PaperMaker::Open()> m_asNow;
    QString m_proposed;
    QListWidget* m_members;
    QComboBox *m_form, *m_size;
    QLabel *m_count, *m_told, *m_old, *m_words;
    QPushButton *m_save, *m_print, *m_anew, *m_stop;
    QProgressBar* m_bar;
    PaperView* m_view;
    QTimer m_soon;
};

} // namespace spanwright::app
