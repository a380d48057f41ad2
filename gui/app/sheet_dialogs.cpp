// SPDX-License-Identifier: MIT
#include "gui/app/sheet_dialogs.h"

#include <QDialogButtonBox>
#include <QFormLayout>
#include <QLabel>
#include <QLineEdit>
#include <QListWidget>
#include <QPushButton>
#include <QRadioButton>
#include <QVBoxLayout>

#include <algorithm>

namespace spanwright::app {

namespace {

QDialogButtonBox* buttons(QDialog& dialog, const QString& accept) {
    auto* box = new QDialogButtonBox(QDialogButtonBox::Ok | QDialogButtonBox::Cancel, &dialog);
    box->button(QDialogButtonBox::Ok)->setText(accept);
    // Words say what a button does; pictures of the style's are not ours.
    for (QAbstractButton* b : box->buttons()) b->setIcon(QIcon());
    QObject::connect(box, &QDialogButtonBox::accepted, &dialog, &QDialog::accept);
    QObject::connect(box, &QDialogButtonBox::rejected, &dialog, &QDialog::reject);
    return box;
}

QLabel* paragraph(const QString& text, QDialog& dialog) {
    auto* label = new QLabel(text, &dialog);
    label->setWordWrap(true);
    label->setTextFormat(Qt::PlainText);
    return label;
}

} // namespace

RemarkDialog::RemarkDialog(const QString& what, const QString& asked, const QString& initials, const QString& date, QWidget* parent)
    : QDialog(parent), m_by(new QLineEdit(initials, this)), m_on(new QLineEdit(date, this)), m_words(new QLineEdit(this)) {
    setWindowTitle(asked.isEmpty() ? tr("Remark on a value") : tr("Answer a remark"));
    auto* form = new QFormLayout(this);
    form->addRow(paragraph(what, *this));
    if (!asked.isEmpty()) form->addRow(paragraph(asked, *this));
    form->addRow(asked.isEmpty() ? tr("&Remark") : tr("&Answer"), m_words);
    form->addRow(tr("&Initials"), m_by);
    form->addRow(tr("&Date"), m_on);
    auto* box = buttons(*this, asked.isEmpty() ? tr("Leave it") : tr("Answer"));
    form->addRow(box);
    m_words->setMinimumWidth(fontMetrics().averageCharWidth() * 56);
    const auto check = [this, box] {
        const bool whole = !m_words->text().trimmed().isEmpty() && !m_by->text().trimmed().isEmpty() && !m_on->text().trimmed().isEmpty();
        box->button(QDialogButtonBox::Ok)->setEnabled(whole);
    };
    for (QLineEdit* line : {m_by, m_on, m_words}) connect(line, &QLineEdit::textChanged, this, check);
    check();
    m_words->setFocus();
}

QString RemarkDialog::by() const { return m_by->text().trimmed(); }
QString RemarkDialog::on() const { return m_on->text().trimmed(); }
QString RemarkDialog::words() const { return m_words->text().trimmed(); }

CopySheetDialog::CopySheetDialog(const QString& sheet, const QString& name, const QString& mark, int users, QWidget* parent)
    : QDialog(parent), m_name(new QLineEdit(name, this)), m_all(new QRadioButton(this)) {
    setWindowTitle(tr("A copy of this sheet for this job"));
    auto* form = new QFormLayout(this);
    form->addRow(paragraph(tr("The copy of %1 is kept beside the job. Its rows can be changed; rows that differ are marked and listed, and a check that is "
                              "taken out leaves the member not proven.")
                               .arg(sheet),
                           *this));
    form->addRow(tr("&Name of the copy"), m_name);
    m_all->setText(tr("For &all %1 members that use it").arg(users));
    auto* one = new QRadioButton(tr("Only for &%1").arg(mark), this);
    if (users > 1) {
        form->addRow(m_all);
        form->addRow(one);
        one->setChecked(true);
    } else {
        m_all->setChecked(true);
        m_all->hide();
        one->hide();
    }
    auto* box = buttons(*this, tr("Make the copy"));
    form->addRow(box);
    connect(m_name, &QLineEdit::textChanged, this, [this, box] { box->button(QDialogButtonBox::Ok)->setEnabled(!m_name->text().trimmed().isEmpty()); });
    m_name->selectAll();
    m_name->setFocus();
}

QString CopySheetDialog::name() const { return m_name->text().trimmed(); }
bool CopySheetDialog::forAll() const { return m_all->isChecked(); }

DifferencesDialog::DifferencesDialog(const QString& head, const QStringList& lines, QWidget* parent) : QDialog(parent) {
    setWindowTitle(tr("Against the ready sheet"));
    auto* column = new QVBoxLayout(this);
    column->addWidget(paragraph(head, *this));
    auto* list = new QListWidget(this);
    list->setAccessibleName(tr("Rows that differ"));
    list->setWordWrap(true);
    list->addItems(lines);
    list->setVisible(!lines.isEmpty());
    column->addWidget(list, 1);
    auto* box = new QDialogButtonBox(QDialogButtonBox::Close, this);
    connect(box, &QDialogButtonBox::rejected, this, &QDialog::reject);
    column->addWidget(box);
    resize(fontMetrics().averageCharWidth() * 70, lines.isEmpty() ? 0 : fontMetrics().height() * 16);
}

} // namespace spanwright::app
