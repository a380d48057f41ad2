// SPDX-License-Identifier: MIT
#pragma once

#include <QWidget>

#include "gui/models/list_rows.h"

class QLabel;
class QPushButton;
class QTableView;

namespace spanwright::views {

/// The rows of a list where they stand: added, changed, moved, taken out. Each change that fits is stated in the job at
/// once, one step of undo; what does not fit stays in its field with the reason below.
class ListEditor : public QWidget {
    Q_OBJECT

public:
    ListEditor(models::JobSession& session, models::CellId cell, QWidget* parent = nullptr);
    [[nodiscard]] models::ListRows& rows() { return m_rows; }
    [[nodiscard]] QTableView& table() { return *m_table; }
    /// What is wrong with a field or with the rows; empty if nothing is.
    [[nodiscard]] QString told() const;
    [[nodiscard]] const QWidget& toldBelow() const;
    /// Takes what is being typed in a field, as if the person went on.
    void takeTyped();
    /// As high as its rows, up to a few; then it scrolls.
    [[nodiscard]] QSize sizeHint() const override;
    [[nodiscard]] QSize minimumSizeHint() const override { return {160, sizeHint().height()}; }

Q_SIGNALS:
    /// Escape: its keys are wanted elsewhere.
    void leaveWanted();
    void grown();
    /// Something is wrong with what was typed, and is told below the rows.
    void refused();

protected:
    bool eventFilter(QObject* object, QEvent* event) override;
    void changeEvent(QEvent* event) override;
    void resizeEvent(QResizeEvent* event) override;

private:
    void fit();
    void addRow();
    void removeRow();
    void moveRow(int by);
    void state();
    void say(const QString& words);
    [[nodiscard]] int current() const;
    models::ListRows m_rows;
    QTableView* m_table;
    QLabel* m_told;
    QWidget* m_buttons;
    QPushButton* m_asInSheet = nullptr;
};

} // namespace spanwright::views
