// SPDX-License-Identifier: MIT
#include "gui/app/vary_dialog.h"

#include <QApplication>
#include <QClipboard>
#include <QComboBox>
#include <QCompleter>
#include <QFileDialog>
#include <QGridLayout>
#include <QHeaderView>
#include <QLabel>
#include <QLineEdit>
#include <QMessageBox>
#include <QPainter>
#include <QProgressBar>
#include <QPushButton>
#include <QScrollArea>
#include <QSplitter>
#include <QStyledItemDelegate>
#include <QTableView>
#include <QVBoxLayout>

#include "engine/report/trial_document.h"
#include "engine/report/write.h"
#include "gui/ink/palette.h"
#include "gui/ink/stamp.h"
#include "gui/models/text.h"
#include "gui/views/drawing_view.h"

namespace spanwright::app {

using models::fromUtf8;
using models::toUtf8;
using models::VaryFault;
using Where = models::VaryFault::Where;

namespace {

/// Verdicts as boxed words.
class VerdictDelegate : public QStyledItemDelegate {
public:
    using QStyledItemDelegate::QStyledItemDelegate;
    void paint(QPainter* painter, const QStyleOptionViewItem& option, const QModelIndex& index) const override {
        const QVariant stamp = index.data(models::DocumentTable::StampRole);
        if (!stamp.isValid()) return QStyledItemDelegate::paint(painter, option, index);
        const ink::Palette& p = ink::paletteOf(option.palette);
        painter->save();
        painter->fillRect(option.rect, (option.state & QStyle::State_Selected) != 0 ? p.card : p.paper);
        const QFont small = ink::smallFont(option.font);
        const ink::Stamp sort = ink::stampOf(static_cast<report::Stamp>(stamp.toInt()));
        const QString word = index.data().toString();
        const QRectF place = QRectF(option.rect).adjusted(4, 1, -4, -1);
        ink::drawStamp(*painter, QRectF(place.left(), place.top(), ink::stampSize(small, word, sort).width(), place.height()), small, word, sort, p);
        painter->restore();
    }
    [[nodiscard]] QSize sizeHint(const QStyleOptionViewItem& option, const QModelIndex& index) const override {
        const QVariant stamp = index.data(models::DocumentTable::StampRole);
        if (!stamp.isValid()) return QStyledItemDelegate::sizeHint(option, index);
        const QSizeF box = ink::stampSize(ink::smallFont(option.font), index.data().toString(), ink::stampOf(static_cast<report::Stamp>(stamp.toInt())));
        return {static_cast<int>(box.width()) + 10, static_cast<int>(box.height()) + 4};
    }
};

QLabel* words(QWidget* parent) {
    auto* l = new QLabel(parent);
    l->setWordWrap(true);
    l->setTextFormat(Qt::PlainText);
    return l;
}

} // namespace

VaryDialog::VaryDialog(models::JobSession& session, QWidget* parent)
    : QDialog(parent), m_session(session), m_bench(new models::VaryBench(session, this)), m_model(new models::DocumentTable(this)) {
    setWindowTitle(tr("Vary values"));
    setObjectName(QStringLiteral("vary"));
    resize(1120, 660);
    auto* column = new QVBoxLayout(this);
    auto* grid = new QGridLayout;
    buildFields(*grid);
    column->addLayout(grid);
    m_fault = words(this);
    m_fault->hide();
    column->addWidget(m_fault);

    auto* row = new QHBoxLayout;
    m_work = new QPushButton(tr("&Work it out"), this);
    m_work->setDefault(true);
    m_stop = new QPushButton(tr("S&top"), this);
    m_bar = new QProgressBar(this);
    m_bar->setRange(0, 1000);
    m_bar->setTextVisible(false);
    m_bar->setAccessibleName(tr("How far it is worked out"));
    m_standing = words(this);
    row->addWidget(m_work);
    row->addWidget(m_stop);
    row->addWidget(m_bar, 1);
    row->addWidget(m_standing, 4);
    column->addLayout(row);

    auto* split = new QSplitter(Qt::Horizontal, this);
    m_table = new QTableView(split);
    m_table->setModel(m_model);
    m_table->setItemDelegate(new VerdictDelegate(m_table));
    m_table->setAccessibleName(tr("The table"));
    m_table->verticalHeader()->hide();
    m_table->setShowGrid(false);
    m_table->setTabKeyNavigation(false);
    m_table->setSelectionBehavior(QAbstractItemView::SelectRows);
    m_table->setEditTriggers(QAbstractItemView::NoEditTriggers);
    split->addWidget(m_table);
    auto* scroll = new QScrollArea(split);
    scroll->setWidgetResizable(true);
    scroll->setFrameStyle(QFrame::NoFrame);
    scroll->setAccessibleName(tr("The drawing"));
    m_drawing = new views::DrawingView(scroll);
    scroll->setWidget(m_drawing);
    split->addWidget(scroll);
    split->setSizes({520, 560});
    column->addWidget(split, 1);

    auto* foot = new QHBoxLayout;
    m_copy = new QPushButton(tr("&Copy the table"), this);
    m_save = new QPushButton(tr("&Save as..."), this);
    m_pin = new QPushButton(tr("&Pin into the report"), this);
    auto* close = new QPushButton(tr("C&lose"), this);
    for (QPushButton* b : {m_copy, m_save, m_pin}) foot->addWidget(b);
    foot->addStretch(1);
    foot->addWidget(close);
    column->addLayout(foot);
    for (QPushButton* b : {m_stop, m_copy, m_save, m_pin, close}) b->setAutoDefault(false);

    connect(m_work, &QPushButton::clicked, this, &VaryDialog::workOut);
    connect(m_stop, &QPushButton::clicked, m_bench, &models::VaryBench::stop);
    connect(m_copy, &QPushButton::clicked, this, &VaryDialog::copy);
    connect(m_save, &QPushButton::clicked, this, [this] {
        const QString path = QFileDialog::getSaveFileName(this, tr("Save the table or the drawing"), {}, tr("Table (*.csv);;Drawing (*.svg)"));
        if (!path.isEmpty()) saveAs(path);
    });
    connect(m_pin, &QPushButton::clicked, this, &VaryDialog::pin);
    connect(close, &QPushButton::clicked, this, &QDialog::reject);
    connect(m_bench, &models::VaryBench::changed, this, &VaryDialog::refresh);
    connect(m_bench, &models::VaryBench::progressed, m_bar, &QProgressBar::setValue);
    connect(&session, &models::JobSession::reset, this, &VaryDialog::fill);
    m_soon.setSingleShot(true);
    m_soon.setInterval(250);
    connect(&m_soon, &QTimer::timeout, this, &VaryDialog::checkNow);
    fill();
    refresh();
}

void VaryDialog::buildFields(QGridLayout& grid) {
    const QStringList heads{tr("Vary"), tr("from"), tr("to"), tr("in steps of"), tr("or these values")};
    for (int c = 0; c < heads.size(); ++c) grid.addWidget(new QLabel(heads[c], this), 0, c);
    for (std::size_t i = 0; i < kRows; ++i) {
        Row& r = m_rows[i];
        const int line = static_cast<int>(i) * 2 + 1;
        r.name = new QComboBox(this);
        r.name->setEditable(true);
        r.name->setInsertPolicy(QComboBox::NoInsert);
        r.name->setSizeAdjustPolicy(QComboBox::AdjustToMinimumContentsLengthWithIcon);
        r.name->setMinimumContentsLength(12);
        r.name->setAccessibleName(tr("Value %1 to vary").arg(i + 1));
        r.name->lineEdit()->setAccessibleName(r.name->accessibleName());
        r.name->lineEdit()->setPlaceholderText(i == 0 ? tr("such as J1.h") : tr("and another, if wanted"));
        grid.addWidget(r.name, line, 0);
        const auto field = [&](int c, const QString& name, const QString& hint) {
            auto* e = new QLineEdit(this);
            e->setAccessibleName(tr("%1, value %2").arg(name).arg(i + 1));
            e->setPlaceholderText(hint);
            grid.addWidget(e, line, c);
            connect(e, &QLineEdit::textChanged, this, [this] { m_soon.start(); });
            return e;
        };
        r.from = field(1, heads[1], {});
        r.to = field(2, heads[2], {});
        r.by = field(3, heads[3], {});
        r.list = field(4, heads[4], {});
        r.fault = words(this);
        r.fault->hide();
        grid.addWidget(r.fault, line + 1, 0, 1, 5);
        connect(r.name, &QComboBox::currentTextChanged, this, [this] { m_soon.start(); });
        // A value chosen from the list comes with a range about what it is now.
        connect(r.name, &QComboBox::activated, this, [this, i](int at) {
            const models::VaryField f = m_bench->proposalFor(m_rows[i].name->itemData(at).toString());
            m_rows[i].name->setEditText(f.name);
            m_rows[i].from->setText(f.from);
            m_rows[i].to->setText(f.to);
            m_rows[i].by->setText(f.by);
            m_rows[i].list->clear();
            checkNow();
        });
    }
    const int line = static_cast<int>(kRows) * 2 + 1;
    m_show = new QLineEdit(this);
    m_show->setAccessibleName(tr("Rows to show"));
    m_show->setPlaceholderText(tr("greatest utilisation; names apart by commas show more"));
    auto* show = new QLabel(tr("S&how"), this);
    show->setBuddy(m_show);
    m_add = new QComboBox(this);
    m_add->setAccessibleName(tr("Add to what is shown"));
    m_add->setSizeAdjustPolicy(QComboBox::AdjustToMinimumContentsLengthWithIcon);
    m_add->setMinimumContentsLength(14);
    grid.addWidget(show, line, 0);
    grid.addWidget(m_show, line, 1, 1, 3);
    grid.addWidget(m_add, line, 4);
    m_aim = new QComboBox(this);
    m_aim->setAccessibleName(tr("Look at each point for"));
    m_aim->addItem(tr("as it is at each point"));
    m_aim->addItem(tr("the largest, with all passing"));
    m_aim->addItem(tr("the smallest, with all passing"));
    m_aim->setSizeAdjustPolicy(QComboBox::AdjustToContents);
    m_reach = new QLineEdit(this);
    m_reach->setAccessibleName(tr("Value to look for"));
    m_reach->setPlaceholderText(tr("such as J1.L, or J1.L from 2 m to 6 m"));
    grid.addWidget(new QLabel(tr("Look for"), this), line + 1, 0);
    grid.addWidget(m_aim, line + 1, 1, 1, 2);
    grid.addWidget(m_reach, line + 1, 3, 1, 2);
    grid.setColumnStretch(0, 3);
    for (const int c : {1, 2, 3}) grid.setColumnStretch(c, 2);
    grid.setColumnStretch(4, 4);
    for (QLineEdit* e : {m_show, m_reach}) connect(e, &QLineEdit::textChanged, this, [this] { m_soon.start(); });
    connect(m_aim, &QComboBox::currentIndexChanged, this, [this](int i) {
        m_reach->setEnabled(i > 0);
        m_soon.start();
    });
    m_reach->setEnabled(false);
    connect(m_add, &QComboBox::activated, this, [this](int at) {
        const QString name = m_add->itemData(at).toString();
        if (!name.isEmpty()) m_show->setText(m_show->text().trimmed().isEmpty() ? name : QStringLiteral("%1, %2").arg(m_show->text().trimmed(), name));
        m_add->setCurrentIndex(0);
    });
}

/// What there is to vary, as the job stands.
void VaryDialog::fill() {
    const std::vector<models::Variable> all = m_bench->variables();
    for (Row& r : m_rows) {
        const QString typed = r.name->currentText();
        const QSignalBlocker quiet(r.name);
        r.name->clear();
        for (const models::Variable& v : all) r.name->addItem(v.what.isEmpty() ? v.name : QStringLiteral("%1   %2").arg(v.name, v.what), v.name);
        r.name->setCurrentIndex(-1);
        r.name->setEditText(typed);
        // Names that hold what is typed, not only those that begin so.
        QCompleter* completer = r.name->completer();
        completer->setFilterMode(Qt::MatchContains);
        completer->setCompletionMode(QCompleter::PopupCompletion);
    }
}

void VaryDialog::propose(const QString& name) { setWish({{m_bench->proposalFor(name)}, {}, std::nullopt, {}}); }

models::VaryWish VaryDialog::wish() const {
    models::VaryWish w;
    for (const Row& r : m_rows) {
        // What was taken from the list stands there with what it is behind it.
        const QString name = r.name->currentText().section(QStringLiteral("   "), 0, 0);
        w.fields.push_back({name, r.from->text(), r.to->text(), r.by->text(), r.list->text()});
    }
    w.show = m_show->text();
    if (m_aim->currentIndex() > 0) w.aim = m_aim->currentIndex() == 1 ? trial::Aim::Largest : trial::Aim::Smallest;
    w.reach = m_reach->text();
    return w;
}

void VaryDialog::setWish(const models::VaryWish& wish) {
    for (std::size_t i = 0; i < kRows; ++i) {
        const models::VaryField f = i < wish.fields.size() ? wish.fields[i] : models::VaryField{};
        m_rows[i].name->setEditText(f.name);
        m_rows[i].from->setText(f.from);
        m_rows[i].to->setText(f.to);
        m_rows[i].by->setText(f.by);
        m_rows[i].list->setText(f.list);
    }
    m_show->setText(wish.show);
    m_aim->setCurrentIndex(!wish.aim ? 0 : *wish.aim == trial::Aim::Largest ? 1 : 2);
    m_reach->setText(wish.reach);
    checkNow();
}

QWidget* VaryDialog::fieldOf(const VaryFault& fault) const {
    const Row& r = m_rows[std::min(fault.field, kRows - 1)];
    switch (fault.where) {
    case Where::Name: return r.name;
    case Where::From: return r.from;
    case Where::To: return r.to;
    case Where::By: return r.by;
    case Where::List: return r.list;
    case Where::Show: return m_show;
    case Where::Reach: return m_reach;
    case Where::Whole: break;
    }
    return nullptr;
}

void VaryDialog::tellFault(const std::optional<VaryFault>& fault) {
    if (m_marked != nullptr) {
        m_marked->setAccessibleDescription({});
        m_marked->setToolTip({});
        QFont font = m_marked->font();
        font.setUnderline(false);
        m_marked->setFont(font);
    }
    m_marked = nullptr;
    const QString text = !fault ? QString() : fault->mend.isEmpty() ? fault->message : tr("%1; mend: %2").arg(fault->message, fault->mend);
    for (std::size_t i = 0; i < kRows; ++i) {
        const bool here = fault && fault->field == i && fault->where <= Where::List;
        m_rows[i].fault->setText(here ? text : QString());
        m_rows[i].fault->setVisible(here);
    }
    const bool below = fault && fault->where > Where::List;
    m_fault->setText(below ? text : QString());
    m_fault->setVisible(below);
    m_work->setEnabled(!fault);
    m_pin->setEnabled(!fault && !m_session.job().isSingleSheet());
    if (!fault) return;
    m_marked = fieldOf(*fault);
    if (m_marked == nullptr) return;
    m_marked->setAccessibleDescription(text);
    m_marked->setToolTip(text);
    QFont font = m_marked->font();
    font.setUnderline(true);
    m_marked->setFont(font);
}

QString VaryDialog::faultText() const {
    for (const Row& r : m_rows)
        if (!r.fault->text().isEmpty()) return r.fault->text();
    return m_fault->text();
}

void VaryDialog::checkNow() {
    m_soon.stop();
    const models::VaryWish w = wish();
    // A choice has no range: its rows are a list, or all.
    const std::vector<models::Variable> all = m_bench->variables();
    QString first;
    for (std::size_t i = 0; i < kRows; ++i) {
        const QString name = w.fields[i].name.trimmed();
        if (first.isEmpty()) first = name;
        const bool choice = std::any_of(all.begin(), all.end(), [&](const models::Variable& v) { return v.choice && v.name == name; });
        const bool list = choice || !m_rows[i].list->text().trimmed().isEmpty();
        for (QLineEdit* e : {m_rows[i].from, m_rows[i].to, m_rows[i].by}) e->setEnabled(!list);
        m_rows[i].list->setPlaceholderText(choice ? tr("all rows of its table") : QString());
    }
    const QSignalBlocker quiet(m_add);
    m_add->clear();
    m_add->addItem(tr("Add..."));
    for (const models::Variable& v : m_bench->shownOf(first)) m_add->addItem(v.what.isEmpty() ? v.name : QStringLiteral("%1   %2").arg(v.name, v.what), v.name);
    tellFault(m_bench->check(w));
    say();
}

void VaryDialog::workOut() {
    checkNow();
    if (!m_work->isEnabled()) {
        if (m_marked != nullptr) m_marked->setFocus();
        return;
    }
    m_bar->setValue(0);
    m_worked = m_bench->requestOf(wish());
    tellFault(m_bench->start(wish()));
}

QString VaryDialog::standing() const { return m_standing->text(); }

void VaryDialog::refresh() {
    const bool running = m_bench->isRunning(), holds = m_bench->holds();
    m_stop->setVisible(running);
    m_bar->setVisible(running);
    const auto& t = m_bench->table();
    m_copy->setEnabled(holds);
    m_save->setEnabled(holds);
    // Nothing of before an edit stands there as if it held.
    m_table->setEnabled(holds);
    m_drawing->setVisible(holds);
    say();
    // An edit may also have changed what is wrong with the fields.
    if (t && !running && !holds) m_soon.start();
    if (running || !holds) return;
    m_model->setTable(report::varyTable(*t));
    m_table->resizeColumnsToContents();
    report::Drawing drawing = report::varyField(*t);
    if (drawing.shapes.empty()) drawing = report::varyDrawing(*t);
    m_drawing->setDrawing(std::move(drawing), t->axes.size() == 1 ? tr("hatched: does not pass") : QString());
}

/// How it stands, in words.
void VaryDialog::say() {
    const bool running = m_bench->isRunning(), holds = m_bench->holds();
    const auto& t = m_bench->table();
    if (running) {
        m_standing->setText(t ? tr("Out of date: being worked out anew.") : tr("Being worked out..."));
        return;
    }
    if (!t) {
        m_standing->setText({});
        return;
    }
    if (!holds) {
        m_standing->setText(tr("Out of date: the job has changed, or the work was stopped. Work it out again."));
        return;
    }
    std::size_t ok = 0, unknown = 0;
    for (const job::Verdict v : t->results.verdicts) {
        ok += v == job::Verdict::Ok ? 1 : 0;
        unknown += v == job::Verdict::NotComputed ? 1 : 0;
    }
    QString said = t->aim ? tr("%1 points").arg(t->results.points) : tr("%1 points, %2 of them pass").arg(t->results.points).arg(ok);
    if (unknown > 0 && !t->aim) said = tr("%1; %2 are not computed").arg(said).arg(unknown);
    for (const trial::Boundary& b : t->boundaries) {
        QStringList stops;
        for (std::size_t i = 0; i < b.stops.size() && i < 3; ++i) stops << fromUtf8(b.stops[i]);
        const QString at = fromUtf8(b.shown), then = stops.join(QStringLiteral(", "));
        said += b.passesBelow ? tr("; passes up to %1, then not: %2").arg(at, then) : tr("; passes from %1, below it not: %2").arg(at, then);
    }
    const trial::VaryRequest now = m_bench->requestOf(wish());
    const bool other = now.over != m_worked.over || now.show != m_worked.show || now.aim != m_worked.aim || now.reach != m_worked.reach;
    if (other) said = tr("Of the fields as they were before: %1").arg(said);
    m_standing->setText(said);
}

void VaryDialog::copy() {
    if (m_bench->holds()) QApplication::clipboard()->setText(m_model->tabbed());
}

bool VaryDialog::saveAs(const QString& path) {
    if (!m_bench->holds()) return false;
    const trial::VaryTable& t = *m_bench->table();
    std::string bytes;
    if (path.endsWith(QLatin1String(".svg"), Qt::CaseInsensitive)) {
        report::Drawing drawing = report::varyField(t);
        if (drawing.shapes.empty()) drawing = report::varyDrawing(t);
        bytes = report::writeSvg(drawing, "v", true);
    } else {
        bytes = report::writeVaryCsv(t);
    }
    if (const auto done = m_session.files().write(toUtf8(path), bytes); !done) {
        QMessageBox box(QMessageBox::NoIcon, tr("Not saved"), tr("%1 could not be written: %2").arg(path, fromUtf8(done.error().message)), QMessageBox::Ok,
                        this);
        box.exec();
        return false;
    }
    m_standing->setText(tr("Saved as %1.").arg(path));
    return true;
}

void VaryDialog::pin() {
    const models::Outcome outcome = m_bench->pin(wish());
    if (outcome) {
        tellFault(VaryFault{Where::Whole, 0, outcome->message, outcome->mend});
        return;
    }
    Q_EMIT pinned();
}

} // namespace spanwright::app
