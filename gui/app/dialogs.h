// SPDX-License-Identifier: MIT
#pragma once

#include <QDialog>
#include <QString>

#include <optional>
#include <vector>

#include "engine/job/job.h"
#include "gui/models/history.h"
#include "gui/models/job_session.h"
#include "gui/models/text_delta.h"

class QComboBox;
class QLabel;
class QLineEdit;
class QListView;

namespace spanwright::models {
class FoundRows;
class LinkChoices;
} // namespace spanwright::models

namespace spanwright::app {

/// A new member: its sheet, mark and purpose.
class AddMemberDialog : public QDialog {
    Q_OBJECT

public:
    AddMemberDialog(const std::vector<job::ReadySheet>& sheets, const QString& mark, QWidget* parent);
    [[nodiscard]] QString sheet() const;
    [[nodiscard]] QString mark() const;
    [[nodiscard]] QString purpose() const;

private:
    QComboBox* m_sheet;
    QLineEdit *m_mark, *m_purpose;
};

/// Another member's value to take one from.
class LinkDialog : public QDialog {
    Q_OBJECT

public:
    LinkDialog(const models::JobSession& session, models::CellId target, QWidget* parent);
    /// "J1.R_G"; empty when nothing is picked.
    [[nodiscard]] QString formula() const;

private:
    models::LinkChoices* m_choices;
    models::FoundRows* m_found;
    QListView* m_list;
};

/// Any value of the job, to go to: found by words of its mark, name or meaning.
class FindDialog : public QDialog {
    Q_OBJECT

public:
    /// The member that is looked at stands first.
    FindDialog(const models::JobSession& session, std::optional<std::size_t> first, QWidget* parent);
    /// Where to; nothing when nothing is picked.
    [[nodiscard]] std::optional<models::Spot> spot() const;

protected:
    bool eventFilter(QObject* object, QEvent* event) override;

private:
    std::vector<models::Spot> m_spots;
    models::FoundRows* m_found;
    QListView* m_list;
};

/// Who ticks, and when.
class TickDialog : public QDialog {
    Q_OBJECT

public:
    TickDialog(const QString& what, const QString& initials, const QString& date, QWidget* parent);
    [[nodiscard]] QString by() const;
    [[nodiscard]] QString on() const;

private:
    QLineEdit *m_by, *m_on;
};

/// The job's file was changed by another program while edits here are unsaved: what differs, and what to do.
class DifferenceDialog : public QDialog {
    Q_OBJECT

public:
    enum class Answer { KeepMine, TakeTheirs };
    DifferenceDialog(const QString& file, const std::vector<models::DiffLine>& lines, QWidget* parent);
    [[nodiscard]] Answer answer() const { return m_answer; }

private:
    Answer m_answer = Answer::KeepMine;
};

/// One line of words, such as a new mark; empty when given up.
[[nodiscard]] QString askWords(QWidget* parent, const QString& title, const QString& question, const QString& now);

} // namespace spanwright::app
