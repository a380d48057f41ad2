// SPDX-License-Identifier: MIT
#pragma once

#include <QDialog>
#include <QString>

class QLineEdit;
class QRadioButton;

namespace spanwright::app {

/// A remark on a value, or the answer to one: who, when, and the words.
class RemarkDialog : public QDialog {
    Q_OBJECT

public:
    /// `asked`: the remark that is answered; empty for a new one.
    RemarkDialog(const QString& what, const QString& asked, const QString& initials, const QString& date, QWidget* parent);
    [[nodiscard]] QString by() const;
    [[nodiscard]] QString on() const;
    [[nodiscard]] QString words() const;

private:
    QLineEdit *m_by, *m_on, *m_words;
};

/// A copy of a sheet for the job: its name, and which members use it from then on.
class CopySheetDialog : public QDialog {
    Q_OBJECT

public:
    CopySheetDialog(const QString& sheet, const QString& name, const QString& mark, int users, QWidget* parent);
    [[nodiscard]] QString name() const;
    [[nodiscard]] bool forAll() const;

private:
    QLineEdit* m_name;
    QRadioButton* m_all;
};

/// Rows that differ from the ready sheet.
class DifferencesDialog : public QDialog {
    Q_OBJECT

public:
    DifferencesDialog(const QString& head, const QStringList& lines, QWidget* parent);
};

} // namespace spanwright::app
