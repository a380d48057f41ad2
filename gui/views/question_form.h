// SPDX-License-Identifier: MIT
#pragma once

#include <QElapsedTimer>
#include <QScrollArea>
#include <QWidget>

#include <vector>

#include "gui/models/first_job.h"

class QComboBox;
class QLabel;
class QLineEdit;
class QPushButton;
class QToolButton;
class QVBoxLayout;

namespace spanwright::views {

class ListEditor;

/// One question: in plain words what is asked, a line, a choice or rows for the answer, where the figure comes from if that
/// matters, and below it why an answer was not taken. What is typed stays until it is put right.
class QuestionField : public QWidget {
    Q_OBJECT

public:
    QuestionField(models::FirstJob& job, int row, QWidget* parent);
    [[nodiscard]] const QString& name() const { return m_name; }
    [[nodiscard]] QWidget* input() const;
    [[nodiscard]] QLineEdit* from() const { return m_from; }
    [[nodiscard]] ListEditor* list() const { return m_list; }
    [[nodiscard]] QLabel& refusal() const { return *m_refusal; }
    /// Shows what the model says now.
    void refresh(int row);
    /// Takes what is being typed, as if the person went on.
    void takeTyped();
    /// What tells why an answer was not taken; of a list below its rows.
    [[nodiscard]] const QWidget& reason() const;

Q_SIGNALS:
    void refused();

protected:
    void changeEvent(QEvent* event) override;

private:
    void take();
    void say();
    [[nodiscard]] int row() const;
    models::FirstJob& m_job;
    QString m_name;
    QLabel *m_words, *m_unit, *m_about = nullptr, *m_refusal;
    QLineEdit* m_line = nullptr;
    QComboBox* m_choice = nullptr;
    ListEditor* m_list = nullptr;
    QLineEdit* m_from = nullptr;
    bool m_quiet = false; ///< filled by us, not by hand
};

/// All questions of a first job below one another: first what must be answered, with what works out the loads behind it;
/// then how the thing is built; then, folded away until asked for, what else the sheet has a default for.
class QuestionForm : public QScrollArea {
    Q_OBJECT

public:
    explicit QuestionForm(models::FirstJob& job, QWidget* parent = nullptr);
    [[nodiscard]] QuestionField* field(const QString& name) const;
    /// Goes to a question, unfolding what hides it.
    void goTo(const QString& name);
    /// Goes to the first question that is not answered; the first of all when all are.
    void goToFirst();
    void setAssumedShown(bool shown);
    /// Takes what is being typed in any of them, as if the person went on.
    void takeTyped();
    /// Lets a second member work out the loads, or takes it away again.
    [[nodiscard]] QPushButton& loads() const { return *m_loads; }

protected:
    bool eventFilter(QObject* object, QEvent* event) override;
    void changeEvent(QEvent* event) override;

private:
    void rebuild();
    void follow();
    void bringReasonInSight(QuestionField* field);
    models::FirstJob& m_job;
    std::vector<QuestionField*> m_fields;
    QElapsedTimer m_typed; ///< since a letter was typed into a choice
    void toggleLoads();
    QVBoxLayout *m_needed, *m_ofLoads, *m_shape, *m_assumed;
    QPushButton* m_loads;
    QToolButton* m_fold;
    QWidget* m_rest;
    QLabel *m_applies, *m_loadsTitle, *m_shapeTitle = nullptr, *m_loadsRefused;
};

} // namespace spanwright::views
