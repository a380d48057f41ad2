// SPDX-License-Identifier: MIT
#pragma once

#include <QScrollArea>
#include <QWidget>

#include <vector>

#include "gui/models/first_job.h"

class QComboBox;
class QLabel;
class QLineEdit;
class QToolButton;
class QVBoxLayout;

namespace spanwright::views {

/// One question: in plain words what is asked, a line or a list for the answer, where the figure comes from if that
/// matters, and below it why an answer was not taken. What is typed stays until it is put right.
class QuestionField : public QWidget {
    Q_OBJECT

public:
    QuestionField(models::FirstJob& job, int row, QWidget* parent);
    [[nodiscard]] const QString& name() const { return m_name; }
    [[nodiscard]] QWidget* input() const;
    [[nodiscard]] QLineEdit* from() const { return m_from; }
    [[nodiscard]] QLabel& refusal() const { return *m_refusal; }
    /// Shows what the model says now.
    void refresh(int row);

private:
    void take();
    void say();
    [[nodiscard]] int row() const;
    models::FirstJob& m_job;
    QString m_name;
    QLabel *m_words, *m_unit, *m_about, *m_refusal;
    QLineEdit* m_line = nullptr;
    QComboBox* m_choice = nullptr;
    QLineEdit* m_from = nullptr;
    bool m_quiet = false; ///< filled by us, not by hand
};

/// All questions of a first job below one another: first what must be answered, then, folded away until asked for,
/// what the sheet has a default for.
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

protected:
    bool eventFilter(QObject* object, QEvent* event) override;

private:
    void rebuild();
    void follow();
    models::FirstJob& m_job;
    std::vector<QuestionField*> m_fields;
    QVBoxLayout *m_needed, *m_assumed;
    QToolButton* m_fold;
    QWidget* m_rest;
    QLabel* m_applies;
};

} // namespace spanwright::views
