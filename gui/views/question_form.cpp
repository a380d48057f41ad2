// SPDX-License-Identifier: MIT
#include "gui/views/question_form.h"

#include <QAbstractItemView>
#include <QApplication>
#include <QComboBox>
#include <QEvent>
#include <QGridLayout>
#include <QKeyEvent>
#include <QLabel>
#include <QLineEdit>
#include <QPushButton>
#include <QScrollBar>
#include <QTableView>
#include <QTimer>
#include <QToolButton>
#include <QVBoxLayout>

#include <algorithm>

#include "gui/ink/palette.h"
#include "gui/models/text.h"
#include "gui/views/list_editor.h"

namespace spanwright::views {

using models::FirstJob;

namespace {

QLabel* softLabel(QWidget* parent) {
    auto* l = new QLabel(parent);
    l->setWordWrap(true);
    l->setTextFormat(Qt::PlainText);
    l->setForegroundRole(QPalette::PlaceholderText);
    l->setFont(ink::smallFont(parent->font()));
    return l;
}

} // namespace

QuestionField::QuestionField(FirstJob& job, int row, QWidget* parent) : QWidget(parent), m_job(job) {
    const QModelIndex at = job.index(row);
    m_name = at.data(FirstJob::NameRole).toString();
    auto* grid = new QGridLayout(this);
    grid->setContentsMargins(0, 2, 0, 8);
    grid->setVerticalSpacing(2);
    m_words = new QLabel(this);
    m_words->setWordWrap(true);
    m_words->setTextFormat(Qt::PlainText);
    grid->addWidget(m_words, 0, 0, 1, 2);
    const QString words = at.data().toString();
    m_unit = softLabel(this);
    m_unit->setWordWrap(false);
    if (at.data(FirstJob::ListRole).toBool()) {
        m_list = new ListEditor(job.session(), job.cellOf(row), this);
        grid->addWidget(m_list, 1, 0, 1, 2);
        m_unit->hide();
        connect(m_list, &ListEditor::grown, this, [this] {
            m_list->updateGeometry();
            if (const int now = this->row(); now >= 0) m_job.tellList(now, m_list->told());
        });
        connect(m_list, &ListEditor::refused, this, &QuestionField::refused);
    } else if (at.data(FirstJob::ChoiceRole).toBool()) {
        m_choice = new QComboBox(this);
        m_choice->setSizeAdjustPolicy(QComboBox::AdjustToMinimumContentsLengthWithIcon);
        m_choice->setMinimumContentsLength(16);
        m_choice->setAccessibleName(words);
        grid->addWidget(m_choice, 1, 0, 1, 2);
        m_unit->hide();
        // The wheel scrolls the page, it does not answer.
        m_choice->setFocusPolicy(Qt::StrongFocus);
        connect(m_choice, &QComboBox::currentIndexChanged, this, [this] {
            if (!m_quiet) take();
        });
    } else {
        m_line = new QLineEdit(this);
        m_line->setAccessibleName(words);
        grid->addWidget(m_line, 1, 0);
        grid->addWidget(m_unit, 1, 1);
        connect(m_line, &QLineEdit::editingFinished, this, &QuestionField::take);
        connect(m_line, &QLineEdit::textEdited, this, [this] {
            if (const int now = this->row(); now >= 0) m_job.setTyping(now, true);
        });
        job.setTyping(row, false); // a line of before may be gone with what was being typed in it
    }
    m_about = softLabel(this);
    grid->addWidget(m_about, 2, 0, 1, 2);
    if (at.data(FirstJob::AsksFromRole).toBool()) {
        m_from = new QLineEdit(this);
        m_from->setFont(ink::smallFont(font()));
        m_from->setPlaceholderText(tr("where the figure comes from"));
        m_from->setAccessibleName(tr("%1: where the figure comes from").arg(words));
        grid->addWidget(m_from, 3, 0, 1, 2);
        connect(m_from, &QLineEdit::editingFinished, this, &QuestionField::say);
    }
    m_refusal = new QLabel(this);
    m_refusal->setWordWrap(true);
    m_refusal->setTextFormat(Qt::PlainText);
    m_refusal->setFrameStyle(QFrame::Box | QFrame::Plain);
    m_refusal->setMargin(4);
    grid->addWidget(m_refusal, 4, 0, 1, 2);
    grid->setColumnStretch(0, 1);
    refresh(row);
}

QWidget* QuestionField::input() const {
    if (m_list != nullptr) return &m_list->table();
    return m_line != nullptr ? static_cast<QWidget*>(m_line) : m_choice;
}

void QuestionField::changeEvent(QEvent* event) {
    QWidget::changeEvent(event);
    if (event->type() != QEvent::FontChange || m_about == nullptr) return;
    for (QWidget* w : std::initializer_list<QWidget*>{m_unit, m_about, m_from})
        if (w != nullptr) w->setFont(ink::smallFont(font()));
}

int QuestionField::row() const { return m_job.rowOf(models::toUtf8(m_name)); }

void QuestionField::refresh(int row) {
    const QModelIndex at = m_job.index(row);
    m_quiet = true;
    const QString symbol = at.data(FirstJob::SymbolRole).toString(), words = at.data().toString();
    m_words->setText(symbol == words ? words : QStringLiteral("%1  (%2)").arg(words, symbol));
    setToolTip(at.data(Qt::ToolTipRole).toString());
    m_unit->setText(at.data(FirstJob::UnitRole).toString());
    const bool stated = at.data(FirstJob::StatedRole).toBool();
    const QString unlessStated = at.data(FirstJob::DefaultRole).toString();
    const QString refused = at.data(FirstJob::RefusalRole).toString();
    if (m_choice != nullptr) {
        const QStringList keys = at.data(FirstJob::RowsRole).toStringList(), said = at.data(FirstJob::RowWordsRole).toStringList();
        QStringList have;
        for (int i = 1; i < m_choice->count(); ++i) have << m_choice->itemData(i).toString();
        const QString none = unlessStated.isEmpty() ? tr("not stated yet") : tr("assumed: %1").arg(unlessStated);
        if (have != keys || m_choice->count() == 0) {
            m_choice->clear();
            m_choice->addItem(none);
            for (int i = 0; i < keys.size(); ++i) {
                m_choice->addItem(said[i], keys[i]);
                m_choice->setItemData(i + 1, said[i], Qt::ToolTipRole);
            }
        }
        m_choice->setItemText(0, none);
        if (refused.isEmpty()) m_choice->setCurrentIndex(stated ? std::max(0, m_choice->findData(at.data(Qt::EditRole))) : 0);
    } else if (m_line != nullptr) {
        // A refused text stays as it was typed.
        if (refused.isEmpty() && (!m_line->hasFocus() || !m_line->isModified())) m_line->setText(at.data(Qt::EditRole).toString());
        m_line->setPlaceholderText(unlessStated.isEmpty() ? QString() : tr("assumed: %1").arg(unlessStated));
    }
    QStringList about;
    const QString link = at.data(FirstJob::LinkRole).toString();
    if (!link.isEmpty()) {
        const QString shown = at.data(FirstJob::ShownRole).toString();
        about << (shown.isEmpty() ? tr("worked out in %1, as soon as it can be").arg(link) : tr("worked out in %1: %2").arg(link, shown));
    }
    if (const QString range = at.data(FirstJob::RangeRole).toString(); !range.isEmpty() && !stated && link.isEmpty()) about << range;
    if (const QString source = at.data(FirstJob::SourceRole).toString(); !source.isEmpty() && link.isEmpty())
        about << (source.startsWith(QStringLiteral("see ")) ? source : tr("see %1").arg(source));
    m_about->setText(about.join(QStringLiteral("; ")));
    m_about->setVisible(!about.isEmpty());
    if (m_from != nullptr) {
        if (!m_from->hasFocus()) m_from->setText(at.data(FirstJob::FromRole).toString());
        m_from->setVisible(link.isEmpty());
    }
    m_refusal->setText(refused);
    m_refusal->setVisible(!refused.isEmpty() && m_list == nullptr); // a list says it itself
    if (m_list == nullptr) input()->setAccessibleDescription(refused.isEmpty() ? m_about->text() : refused);
    m_quiet = false;
}

const QWidget& QuestionField::reason() const { return m_list != nullptr ? m_list->toldBelow() : *m_refusal; }

void QuestionField::take() {
    const int at = row();
    if (m_quiet || at < 0 || m_list != nullptr) return;
    const QString typed = m_line != nullptr ? m_line->text() : m_choice->currentData().toString();
    const QModelIndex index = m_job.index(at);
    // Left as it stood: nothing was answered. A text that was refused is tried again only when it is another.
    if (m_line != nullptr && !m_line->isModified()) return;
    if (m_line == nullptr && typed == index.data(Qt::EditRole).toString()) return;
    if (m_line != nullptr) m_line->setModified(false);
    m_quiet = true;
    const models::Outcome no = m_job.answer(at, typed);
    m_quiet = false;
    if (const int now = row(); now >= 0) refresh(now);
    if (no) Q_EMIT refused();
}

void QuestionField::takeTyped() {
    if (m_list != nullptr) m_list->takeTyped();
    take();
    if (m_from != nullptr) say();
}

void QuestionField::say() {
    const int at = row();
    if (m_quiet || at < 0 || !m_from->isModified()) return;
    m_from->setModified(false);
    (void)m_job.sayFrom(at, m_from->text());
    if (const int now = row(); now >= 0) refresh(now);
}

// ---- the form

QuestionForm::QuestionForm(FirstJob& job, QWidget* parent) : QScrollArea(parent), m_job(job) {
    setWidgetResizable(true);
    setFrameStyle(QFrame::NoFrame);
    setHorizontalScrollBarPolicy(Qt::ScrollBarAlwaysOff);
    setFocusPolicy(Qt::NoFocus);
    setAccessibleName(tr("What the sheet asks"));
    auto* page = new QWidget(this);
    auto* column = new QVBoxLayout(page);
    column->setContentsMargins(2, 0, 14, 8);
    column->setSpacing(2);
    const auto title = [&] {
        auto* l = new QLabel(page);
        l->setWordWrap(true);
        QFont bold = font();
        bold.setBold(true);
        l->setFont(bold);
        column->addWidget(l);
        return l;
    };
    m_loads = new QPushButton(page);
    m_loads->setAutoDefault(false);
    column->addWidget(m_loads, 0, Qt::AlignLeft);
    connect(m_loads, &QPushButton::clicked, this, &QuestionForm::toggleLoads);
    m_loadsRefused = new QLabel(page);
    m_loadsRefused->setWordWrap(true);
    m_loadsRefused->hide();
    column->addWidget(m_loadsRefused);
    m_needed = new QVBoxLayout;
    column->addLayout(m_needed);
    m_loadsTitle = title();
    m_ofLoads = new QVBoxLayout;
    column->addLayout(m_ofLoads);
    m_shapeTitle = title();
    m_shapeTitle->setText(tr("How it is built: as here, unless you say otherwise"));
    m_shape = new QVBoxLayout;
    column->addLayout(m_shape);
    m_applies = new QLabel(page);
    m_applies->setWordWrap(true);
    m_applies->setForegroundRole(QPalette::PlaceholderText);
    column->addWidget(m_applies);
    m_fold = new QToolButton(page);
    m_fold->setCheckable(true);
    m_fold->setAutoRaise(true);
    m_fold->setToolButtonStyle(Qt::ToolButtonTextBesideIcon);
    m_fold->setArrowType(Qt::RightArrow);
    m_fold->setFocusPolicy(Qt::StrongFocus);
    m_fold->setSizePolicy(QSizePolicy::Ignored, QSizePolicy::Fixed);
    column->addWidget(m_fold);
    m_rest = new QWidget(page);
    m_assumed = new QVBoxLayout(m_rest);
    m_assumed->setContentsMargins(0, 0, 0, 0);
    column->addWidget(m_rest);
    column->addStretch(1);
    setWidget(page);
    m_rest->hide();
    connect(m_fold, &QToolButton::toggled, this, &QuestionForm::setAssumedShown);
    connect(&job, &QAbstractItemModel::modelReset, this, &QuestionForm::rebuild);
    connect(&job, &QAbstractItemModel::rowsInserted, this, &QuestionForm::follow);
    connect(&job, &QAbstractItemModel::rowsRemoved, this, &QuestionForm::follow);
    connect(&job, &QAbstractItemModel::dataChanged, this, &QuestionForm::follow);
    rebuild();
}

void QuestionForm::rebuild() {
    for (QuestionField* f : m_fields) delete f;
    m_fields.clear();
    follow();
    verticalScrollBar()->setValue(0);
}

/// A field for each question, in their order; fields that are there already stay, with what is typed in them.
void QuestionForm::follow() {
    std::vector<QuestionField*> now;
    int places[4] = {0, 0, 0, 0};
    QVBoxLayout* const layouts[4] = {m_needed, m_ofLoads, m_shape, m_assumed};
    for (int row = 0; row < m_job.rowCount(); ++row) {
        const QModelIndex at = m_job.index(row);
        const QString name = at.data(FirstJob::NameRole).toString();
        QuestionField* f = field(name);
        if (f == nullptr) {
            f = new QuestionField(m_job, row, widget());
            f->input()->installEventFilter(this);
            if (f->from() != nullptr) f->from()->installEventFilter(this);
            connect(f, &QuestionField::refused, this, [this, f] { bringReasonInSight(f); });
        } else {
            f->refresh(row);
        }
        const int group = at.data(FirstJob::GroupRole).toInt();
        QVBoxLayout* into = layouts[group];
        const int place = places[group]++;
        if (into->indexOf(f) != place) into->insertWidget(place, f);
        f->show();
        now.push_back(f);
    }
    for (QuestionField* f : m_fields)
        if (std::find(now.begin(), now.end(), f) == now.end()) f->deleteLater();
    // By key in the order in which they are seen.
    QWidget* last = nullptr;
    const auto chain = [&last](QWidget* w) {
        if (w == nullptr) return;
        if (last != nullptr) setTabOrder(last, w);
        last = w;
    };
    const int assumed = places[3], asked = static_cast<int>(now.size()) - assumed;
    chain(m_loads);
    bool folded = false;
    for (std::size_t i = 0; i < now.size(); ++i) {
        if (static_cast<int>(i) == asked) {
            chain(m_fold);
            folded = true;
        }
        chain(now[i]->input());
        chain(now[i]->from());
    }
    if (!folded) chain(m_fold);
    m_fields = std::move(now);
    m_fold->setText(tr("Assumed unless you say otherwise (%1)").arg(assumed));
    m_fold->setVisible(assumed > 0);
    m_loadsTitle->setText(tr("The loads, layer by layer"));
    m_loadsTitle->setVisible(places[1] > 0);
    m_shapeTitle->setVisible(places[2] > 0);
    m_loads->setVisible(m_job.isBegun() && !m_job.loadsSheet().isEmpty());
    m_loads->setText(m_job.hasLoads() ? tr("State the &loads instead") : tr("Work the &loads out from layers, use, snow and wind"));
    m_applies->setText(places[0] + places[1] == 0 ? tr("The sheet asks nothing: it has a default for everything.") : QString());
    m_applies->setVisible(places[0] + places[1] == 0);
}

void QuestionForm::changeEvent(QEvent* event) {
    QScrollArea::changeEvent(event);
    if (event->type() != QEvent::FontChange || m_shapeTitle == nullptr) return;
    QFont bold = font();
    bold.setBold(true);
    for (QLabel* l : {m_loadsTitle, m_shapeTitle}) l->setFont(bold);
}

void QuestionForm::toggleLoads() {
    const bool had = m_job.hasLoads();
    const models::Outcome no = had ? m_job.removeLoads() : m_job.addLoads();
    m_loadsRefused->setText(no ? no->message : QString());
    m_loadsRefused->setVisible(no.has_value());
    if (!no) goToFirst();
}

void QuestionForm::takeTyped() {
    // What is taken may bring other questions, and take some away.
    QStringList names;
    for (const QuestionField* f : m_fields) names << f->name();
    for (const QString& name : names)
        if (QuestionField* f = field(name)) f->takeTyped();
}

QuestionField* QuestionForm::field(const QString& name) const {
    for (QuestionField* f : m_fields)
        if (f->name() == name) return f;
    return nullptr;
}

void QuestionForm::setAssumedShown(bool shown) {
    m_fold->setChecked(shown);
    m_fold->setArrowType(shown ? Qt::DownArrow : Qt::RightArrow);
    m_rest->setVisible(shown);
}

void QuestionForm::goTo(const QString& name) {
    QuestionField* f = field(name);
    if (f == nullptr) return;
    if (m_rest->isAncestorOf(f)) setAssumedShown(true);
    f->input()->setFocus(Qt::OtherFocusReason);
    ensureWidgetVisible(f);
}

void QuestionForm::goToFirst() {
    const QuestionField* first = nullptr;
    for (int row = 0; row < m_job.rowCount(); ++row) {
        const QModelIndex at = m_job.index(row);
        if (!at.data(FirstJob::NeededRole).toBool() || !at.data(FirstJob::LinkRole).toString().isEmpty()) continue;
        if (first == nullptr || !at.data(FirstJob::StatedRole).toBool()) first = field(at.data(FirstJob::NameRole).toString());
        if (!at.data(FirstJob::StatedRole).toBool()) break;
    }
    if (first != nullptr) goTo(first->name());
}

/// The reason is seen together with what has the keys now, if there is room for both; else the reason alone.
void QuestionForm::bringReasonInSight(QuestionField* field) {
    QTimer::singleShot(0, field, [this, field] {
        const QWidget& reason = field->reason();
        if (!reason.isVisible()) return;
        widget()->layout()->activate();
        const auto placeOf = [this](const QWidget& w) { return QRect(w.mapTo(widget(), QPoint(0, 0)), w.size()); };
        QRect wanted = placeOf(reason);
        const QWidget* keys = QApplication::focusWidget();
        if (keys != nullptr && widget()->isAncestorOf(keys)) {
            const QRect both = wanted.united(placeOf(*keys));
            if (both.height() <= viewport()->height()) wanted = both;
        }
        QScrollBar& bar = *verticalScrollBar();
        bar.setValue(std::max(std::min(bar.value(), wanted.top()), wanted.bottom() + 1 - viewport()->height()));
    });
}

bool QuestionForm::eventFilter(QObject* object, QEvent* event) {
    if (event->type() == QEvent::Wheel && qobject_cast<QComboBox*>(object) != nullptr) {
        event->ignore();
        return true;
    }
    if (auto* box = qobject_cast<QComboBox*>(object); box != nullptr && event->type() == QEvent::KeyPress) {
        // Keys of tables have blanks: within a word that is being typed a blank belongs to it, else it opens the choice.
        const auto* key = static_cast<QKeyEvent*>(event);
        const bool typing = m_typed.isValid() && m_typed.elapsed() < QApplication::keyboardInputInterval();
        if (key->key() == Qt::Key_Space && key->modifiers() == Qt::NoModifier && typing) {
            m_typed.restart();
            box->view()->setCurrentIndex(box->model()->index(box->currentIndex(), box->modelColumn()));
            box->view()->keyboardSearch(QStringLiteral(" "));
            if (const QModelIndex found = box->view()->currentIndex(); found.isValid()) box->setCurrentIndex(found.row());
            return true;
        }
        if (key->text().trimmed().isEmpty())
            m_typed.invalidate();
        else
            m_typed.start();
    }
    if (event->type() == QEvent::FocusIn) {
        m_typed.invalidate();
        // The whole question is seen, not only its line.
        for (QObject* o = object; o != nullptr; o = o->parent())
            if (auto* f = qobject_cast<QuestionField*>(o)) {
                ensureWidgetVisible(f, 0, 12);
                break;
            }
    }
    return QScrollArea::eventFilter(object, event);
}

} // namespace spanwright::views
