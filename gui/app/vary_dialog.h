// SPDX-License-Identifier: MIT
#pragma once

#include <QDialog>
#include <QTimer>

#include <array>
#include <functional>

#include "gui/models/document_table.h"
#include "gui/models/vary_bench.h"

class QComboBox;
class QGridLayout;
class QLabel;
class QLineEdit;
class QProgressBar;
class QPushButton;
class QTableView;

namespace spanwright::views {
class DrawingView;
}

namespace spanwright::app {

/// Up to three values of the job varied over ranges, lists or choices: a table and a drawing. It stands beside the window, which goes
/// on; a table of before an edit is said to be out of date. What is wrong with a range is told at its field while it is typed.
class VaryDialog : public QDialog {
    Q_OBJECT

public:
    static constexpr std::size_t kRows = 3;
    struct Row {
        QComboBox* name = nullptr;
        QLineEdit *from = nullptr, *to = nullptr, *by = nullptr, *list = nullptr;
        QLabel* fault = nullptr;
    };

    explicit VaryDialog(models::JobSession& session, QWidget* parent);
    /// Proposes a range about the present value.
    void propose(const QString& name);
    [[nodiscard]] models::VaryWish wish() const;
    void setWish(const models::VaryWish& wish);
    [[nodiscard]] models::VaryBench& bench() { return *m_bench; }
    [[nodiscard]] const Row& row(std::size_t i) const { return m_rows[i]; }
    [[nodiscard]] QTableView& table() { return *m_table; }
    [[nodiscard]] views::DrawingView& drawing() { return *m_drawing; }
    [[nodiscard]] QString standing() const;
    /// What is told of a fault, wherever it stands; empty when there is none.
    [[nodiscard]] QString faultText() const;
    void workOut();
    void copy();
    /// By the ending of the name: *.svg the drawing, else the table as CSV. False after saying why not.
    bool saveAs(const QString& path);
    void pin();
    /// Looks the fields over now rather than when the typing has rested.
    void checkNow();

Q_SIGNALS:
    void pinned();

private:
    void buildFields(QGridLayout& grid);
    void fill();
    void refresh();
    void say();
    void tellFault(const std::optional<models::VaryFault>& fault);
    [[nodiscard]] QWidget* fieldOf(const models::VaryFault& fault) const;
    models::JobSession& m_session;
    models::VaryBench* m_bench;
    models::DocumentTable* m_model;
    std::array<Row, kRows> m_rows;
    QLineEdit *m_show = nullptr, *m_reach = nullptr;
    QComboBox *m_add = nullptr, *m_aim = nullptr;
    QLabel *m_fault = nullptr, *m_standing = nullptr;
    QPushButton *m_work = nullptr, *m_stop = nullptr, *m_copy = nullptr, *m_save = nullptr, *m_pin = nullptr;
    QProgressBar* m_bar = nullptr;
    QTableView* m_table = nullptr;
    views::DrawingView* m_drawing = nullptr;
    QTimer m_soon;
    trial::VaryRequest m_worked; ///< what the table is of
    QWidget* m_marked = nullptr; ///< the field whose text is refused
};

} // namespace spanwright::app
