// SPDX-License-Identifier: MIT
#include "gui/app/sheet_dialogs.h"

#include <QDialogButtonBox>
#include <QFormLayout>
#include <QHeaderView>
#include <QLabel>
#include <QLineEdit>
#include <QListWidget>
#include <QPushButton>
#include <QRadioButton>
#include <QTableView>
#include <QVBoxLayout>

#include <algorithm>
#include <functional>

#include "gui/models/text.h"

namespace spanwright::app {

using models::fromUtf8;

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

ListDialog::ListDialog(models::JobSession& session, models::CellId cell, QWidget* parent)
    : QDialog(parent), m_rows(session, cell), m_table(new QTableView(this)), m_told(new QLabel(this)) {
    const QString name = QStringLiteral("%1.%2").arg(fromUtf8(session.job().member(cell.member).mark), fromUtf8(session.quantity(cell).name));
    setWindowTitle(tr("Rows of %1").arg(name));
    auto* column = new QVBoxLayout(this);
    const QString what = fromUtf8(session.quantity(cell).what);
    column->addWidget(paragraph(m_rows.isStated() ? tr("%1 The job states these rows.").arg(what).trimmed()
                                                  : tr("%1 These are the sheet's own rows; changed, they are stated in the job.").arg(what).trimmed(),
                                *this));
    m_table->setModel(&m_rows);
    m_table->setAccessibleName(tr("Rows of the list"));
    m_table->setTabKeyNavigation(false);
    m_table->setSelectionMode(QAbstractItemView::SingleSelection);
    m_table->horizontalHeader()->setStretchLastSection(true);
    m_table->verticalHeader()->hide();
    m_table->resizeColumnsToContents();
    for (int c = 0; c < m_rows.columnCount(); ++c)
        m_table->setColumnWidth(c, std::clamp(m_table->columnWidth(c) + 16, fontMetrics().averageCharWidth() * 9, fontMetrics().averageCharWidth() * 32));
    m_table->verticalHeader()->setDefaultSectionSize(static_cast<int>(fontMetrics().height() * 1.7));
    column->addWidget(m_table, 1);
    m_told->setWordWrap(true);
    m_told->setTextFormat(Qt::PlainText);
    m_told->hide();
    column->addWidget(m_told);
    auto* row = new QHBoxLayout;
    const auto button = [&](const QString& text, const char* id, const std::function<void()>& does) {
        auto* b = new QPushButton(text, this);
        b->setObjectName(QLatin1String(id));
        b->setAutoDefault(false);
        connect(b, &QPushButton::clicked, this, does);
        row->addWidget(b);
        return b;
    };
    const auto current = [this] { return m_table->currentIndex().row(); };
    button(tr("A&dd a row"), "addRow", [this] { addRow(); });
    button(tr("&Take the row out"), "removeRow", [this, current] {
        if (current() >= 0) m_rows.removeRow(current());
    });
    button(tr("&Up"), "rowUp", [this, current] { m_rows.moveRow(current(), -1); });
    button(tr("Do&wn"), "rowDown", [this, current] { m_rows.moveRow(current(), 1); });
    row->addStretch(1);
    button(tr("As in the &sheet"), "asInSheet", [this] {
        if (const models::Outcome outcome = m_rows.takeBack())
            say(outcome->message);
        else
            QDialog::accept();
    })->setEnabled(m_rows.isStated());
    column->addLayout(row);
    column->addWidget(buttons(*this, tr("State these rows")));
    connect(&m_rows, &models::ListRows::refused, this, [this](const QModelIndex& at, const QString& reason) {
        say(tr("row %1: %2").arg(at.row() + 1).arg(reason));
        m_table->setCurrentIndex(at);
    });
    connect(&m_rows, &QAbstractItemModel::dataChanged, this, [this] { say({}); });
    resize(fontMetrics().averageCharWidth() * 100, fontMetrics().height() * 22);
    if (m_rows.rowCount() > 0) m_table->setCurrentIndex(m_rows.index(0, 0));
    m_table->setFocus();
}

void ListDialog::addRow() {
    const int at = m_table->currentIndex().isValid() ? m_table->currentIndex().row() + 1 : m_rows.rowCount();
    m_rows.insertRow(at);
    m_table->setCurrentIndex(m_rows.index(at, 0));
    m_table->setFocus();
}

void ListDialog::say(const QString& words) {
    m_told->setText(words);
    m_told->setVisible(!words.isEmpty());
    m_table->setAccessibleDescription(words);
}

QString ListDialog::told() const { return m_told->text(); }

void ListDialog::accept() {
    if (const models::Outcome outcome = m_rows.state())
        say(outcome->mend.isEmpty() ? outcome->message : tr("%1; mend: %2").arg(outcome->message, outcome->mend));
    else
        QDialog::accept();
}

} // namespace spanwright::app
