// SPDX-License-Identifier: MIT
#include "gui/app/dialogs.h"

#include <QComboBox>
#include <QCoreApplication>
#include <QDialogButtonBox>
#include <QFontDatabase>
#include <QFormLayout>
#include <QKeyEvent>
#include <QLabel>
#include <QLineEdit>
#include <QListView>
#include <QPlainTextEdit>
#include <QPushButton>
#include <QStringListModel>
#include <QVBoxLayout>

#include "gui/models/found_rows.h"
#include "gui/models/grid_rows.h"
#include "gui/models/link_choices.h"
#include "gui/models/list_rows.h"
#include "gui/models/text.h"

namespace spanwright::app {

namespace {

QDialogButtonBox* buttons(QDialog& dialog, const QString& accept) {
    auto* box = new QDialogButtonBox(QDialogButtonBox::Ok | QDialogButtonBox::Cancel, &dialog);
    box->button(QDialogButtonBox::Ok)->setText(accept);
    QObject::connect(box, &QDialogButtonBox::accepted, &dialog, &QDialog::accept);
    QObject::connect(box, &QDialogButtonBox::rejected, &dialog, &QDialog::reject);
    return box;
}

} // namespace

AddMemberDialog::AddMemberDialog(const std::vector<job::ReadySheet>& sheets, const QString& mark, QWidget* parent)
    : QDialog(parent), m_sheet(new QComboBox(this)), m_mark(new QLineEdit(mark, this)), m_purpose(new QLineEdit(this)) {
    setWindowTitle(tr("Add a member"));
    for (const job::ReadySheet& s : sheets)
        m_sheet->addItem(QStringLiteral("%1: %2").arg(models::fromUtf8(s.name), models::fromUtf8(s.title)), models::fromUtf8(s.name));
    auto* form = new QFormLayout(this);
    form->addRow(tr("&Sheet"), m_sheet);
    form->addRow(tr("&Mark"), m_mark);
    form->addRow(tr("&Purpose"), m_purpose);
    auto* box = buttons(*this, tr("Add"));
    form->addRow(box);
    const auto check = [this, box] { box->button(QDialogButtonBox::Ok)->setEnabled(!m_mark->text().trimmed().isEmpty() && m_sheet->count() > 0); };
    connect(m_mark, &QLineEdit::textChanged, this, check);
    check();
}

QString AddMemberDialog::sheet() const { return m_sheet->currentData().toString(); }
QString AddMemberDialog::mark() const { return m_mark->text().trimmed(); }
QString AddMemberDialog::purpose() const { return m_purpose->text().trimmed(); }

LinkDialog::LinkDialog(const models::JobSession& session, models::CellId target, QWidget* parent)
    : QDialog(parent), m_choices(new models::LinkChoices(session, target, this)), m_found(new models::FoundRows(*m_choices, this)),
      m_list(new QListView(this)) {
    setWindowTitle(tr("Take from another member"));
    resize(560, 380);
    const meaning::Quantity& q = session.quantity(target);
    auto* column = new QVBoxLayout(this);
    auto* words =
        new QLabel(tr("Values that %1 of %2 can be taken from: those of the same kind.")
                       .arg(models::fromUtf8(meaning::plain(meaning::typesetName(q.name))), models::fromUtf8(session.job().member(target.member).mark)),
                   this);
    words->setWordWrap(true);
    column->addWidget(words);
    auto* find = new QLineEdit(this);
    find->setPlaceholderText(tr("Find"));
    find->setAccessibleName(tr("Find among the values"));
    column->addWidget(find);
    m_list->setModel(m_found);
    m_list->setUniformItemSizes(true);
    m_list->setAccessibleName(tr("Values of other members"));
    m_list->setCurrentIndex(m_found->index(0, 0));
    column->addWidget(m_list, 1);
    auto* box = buttons(*this, tr("Take"));
    column->addWidget(box);
    connect(find, &QLineEdit::textChanged, this, [this](const QString& text) {
        m_found->find(text);
        m_list->setCurrentIndex(m_found->best());
    });
    connect(m_list, &QListView::activated, this, &QDialog::accept);
    box->button(QDialogButtonBox::Ok)->setEnabled(m_choices->rowCount() > 0);
    if (m_choices->rowCount() == 0) words->setText(tr("No other member has a value of the same kind as this one."));
    m_list->setFocus();
}

QString LinkDialog::formula() const {
    const QModelIndex at = m_found->inSource(m_list->currentIndex());
    return at.isValid() ? m_choices->formula(at.row()) : QString();
}

FindDialog::FindDialog(const models::JobSession& session, std::optional<std::size_t> first, QWidget* parent) : QDialog(parent), m_list(new QListView(this)) {
    setWindowTitle(tr("Go to a value"));
    resize(fontMetrics().averageCharWidth() * 76, fontMetrics().height() * 24);
    QStringList lines;
    const auto take = [&](std::size_t m) {
        if (!session.hasSheet(m)) return;
        const std::string& mark = session.job().member(m).mark;
        for (const meaning::Quantity& q : session.job().sheet(m).quantities) {
            if (!models::isShown(q.kind) || q.name.empty()) continue;
            m_spots.push_back({mark, q.name});
            const QString what = models::whatItIs(session.job().sheet(m), q);
            lines << models::fromUtf8(mark + "." + q.name) + (what.isEmpty() ? QString() : QStringLiteral("   ") + what);
        }
    };
    if (first) take(*first);
    for (std::size_t m = 0; m < session.job().memberCount(); ++m)
        if (m != first) take(m);
    auto* column = new QVBoxLayout(this);
    auto* find = new QLineEdit(this);
    find->setPlaceholderText(tr("Words of its mark, name or meaning"));
    find->setAccessibleName(tr("Find among the values"));
    find->installEventFilter(this);
    column->addWidget(find);
    m_found = new models::FoundRows(*new QStringListModel(lines, this), this);
    m_list->setModel(m_found);
    m_list->setUniformItemSizes(true);
    m_list->setEditTriggers(QAbstractItemView::NoEditTriggers);
    m_list->setAccessibleName(tr("Values of the job"));
    m_list->setCurrentIndex(m_found->index(0, 0));
    column->addWidget(m_list, 1);
    column->addWidget(buttons(*this, tr("Go there")));
    connect(find, &QLineEdit::textChanged, this, [this](const QString& text) {
        m_found->find(text);
        m_list->setCurrentIndex(m_found->best());
    });
    connect(m_list, &QListView::activated, this, &QDialog::accept);
    find->setFocus();
}

/// Up and down choose while words are typed.
bool FindDialog::eventFilter(QObject* object, QEvent* event) {
    if (event->type() == QEvent::KeyPress) {
        const int key = static_cast<QKeyEvent*>(event)->key();
        if (key == Qt::Key_Up || key == Qt::Key_Down || key == Qt::Key_PageUp || key == Qt::Key_PageDown) {
            QCoreApplication::sendEvent(m_list, event);
            return true;
        }
    }
    return QDialog::eventFilter(object, event);
}

std::optional<models::Spot> FindDialog::spot() const {
    const QModelIndex at = m_found->inSource(m_list->currentIndex());
    if (!at.isValid()) return {};
    return m_spots[static_cast<std::size_t>(at.row())];
}

TickDialog::TickDialog(const QString& what, const QString& initials, const QString& date, QWidget* parent)
    : QDialog(parent), m_by(new QLineEdit(initials, this)), m_on(new QLineEdit(date, this)) {
    setWindowTitle(tr("Tick a value"));
    auto* form = new QFormLayout(this);
    auto* words = new QLabel(what, this);
    words->setWordWrap(true);
    form->addRow(words);
    form->addRow(tr("&Initials"), m_by);
    form->addRow(tr("&Date"), m_on);
    form->addRow(buttons(*this, tr("Tick")));
    (initials.isEmpty() ? m_by : m_on)->setFocus();
}

QString TickDialog::by() const { return m_by->text().trimmed(); }
QString TickDialog::on() const { return m_on->text().trimmed(); }

DifferenceDialog::DifferenceDialog(const QString& file, const std::vector<models::DiffLine>& lines, QWidget* parent) : QDialog(parent) {
    setWindowTitle(tr("Changed by another program"));
    resize(720, 460);
    auto* column = new QVBoxLayout(this);
    auto* words = new QLabel(
        tr("%1 was changed by another program, and edits here are not saved. Lines with - stand in the file now, lines with + here.").arg(file), this);
    words->setWordWrap(true);
    column->addWidget(words);
    auto* text = new QPlainTextEdit(this);
    text->setReadOnly(true);
    text->setFont(QFontDatabase::systemFont(QFontDatabase::FixedFont));
    text->setAccessibleName(tr("What differs"));
    QString all;
    for (const models::DiffLine& l : lines) all += QLatin1Char(static_cast<char>(l.side)) + QStringLiteral(" ") + models::fromUtf8(l.text) + QLatin1Char('\n');
    text->setPlainText(all);
    column->addWidget(text, 1);
    auto* box = new QDialogButtonBox(this);
    auto* mine = box->addButton(tr("&Keep mine"), QDialogButtonBox::RejectRole);
    auto* theirs = box->addButton(tr("&Take the file, drop mine"), QDialogButtonBox::DestructiveRole);
    mine->setDefault(true);
    column->addWidget(box);
    connect(mine, &QPushButton::clicked, this, &QDialog::reject);
    connect(theirs, &QPushButton::clicked, this, [this] {
        m_answer = Answer::TakeTheirs;
        accept();
    });
}

QString askWords(QWidget* parent, const QString& title, const QString& question, const QString& now) {
    QDialog dialog(parent);
    dialog.setWindowTitle(title);
    auto* form = new QFormLayout(&dialog);
    auto* line = new QLineEdit(now, &dialog);
    line->selectAll();
    form->addRow(question, line);
    form->addRow(buttons(dialog, QObject::tr("Set")));
    return dialog.exec() == QDialog::Accepted ? line->text().trimmed() : QString();
}

} // namespace spanwright::app
