// SPDX-License-Identifier: MIT
#pragma once

#include <QFrame>
#include <QLabel>
#include <QLineEdit>
#include <QPersistentModelIndex>
#include <QTableView>

#include "gui/models/choice_rows.h"
#include "gui/models/history.h"
#include "gui/models/job_session.h"

namespace spanwright::views {

/// An editor in a cell. A refusal is shown in it, below what was typed, which stays.
class CellEditor : public QFrame {
    Q_OBJECT

public:
    using QFrame::QFrame;
    virtual void start(const QString& text) = 0;
    [[nodiscard]] virtual QString text() const = 0;
    virtual void showRefusal(const QString& reason) = 0;
    /// Puts back what was typed in an editor that had to go.
    virtual void retype(const QString& text) = 0;
    /// True when something was typed or chosen that is not what it began with.
    [[nodiscard]] virtual bool isTouched() const = 0;

    QPersistentModelIndex place;
    models::Spot spot;    ///< the same by name, which outlives other rows
    bool started = false; ///< filled once; later changes of the model leave what is typed alone
    bool done = false;    ///< taken or dropped: nothing is to be taken from it again
    bool taking = false;  ///< what it holds is being taken

Q_SIGNALS:
    void chosen();
    void grown();
    void retyped();
};

/// One line for a value or a link.
class ValueEditor : public CellEditor {
    Q_OBJECT

public:
    ValueEditor(const models::JobSession& session, models::CellId cell, QWidget* parent);
    /// Of a value that is no cell's: with its name to be said, and what stands there while nothing is typed.
    ValueEditor(const QString& name, const QString& unit, QWidget* parent);
    /// What is typed stands at the left, as in a table whose values do.
    void setLeft() { m_line->setAlignment(Qt::AlignLeft); }
    void start(const QString& text) override;
    [[nodiscard]] QString text() const override { return m_line->text(); }
    void showRefusal(const QString& reason) override;
    void retype(const QString& text) override;
    [[nodiscard]] bool isTouched() const override { return m_line->isModified(); }
    [[nodiscard]] QSize sizeHint() const override;

private:
    QLineEdit* m_line;
    QLabel* m_refusal;
};

/// The rows of a table with their fields, to choose one from. Letters typed go to the first key that begins so.
class ChoiceEditor : public CellEditor {
    Q_OBJECT

public:
    ChoiceEditor(const models::JobSession& session, models::CellId cell, QWidget* parent);
    void start(const QString& text) override;
    [[nodiscard]] QString text() const override;
    void showRefusal(const QString& reason) override;
    void retype(const QString& text) override;
    [[nodiscard]] bool isTouched() const override { return text() != m_start; }
    [[nodiscard]] QSize sizeHint() const override;
    [[nodiscard]] QTableView* table() const { return m_table; }

private:
    models::ChoiceRows m_rows;
    QTableView* m_table;
    QLabel* m_words;
    QString m_start;
};

} // namespace spanwright::views
