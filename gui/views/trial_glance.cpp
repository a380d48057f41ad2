// SPDX-License-Identifier: MIT
#include "gui/views/trial_glance.h"

#include <QBoxLayout>
#include <QEvent>
#include <QLabel>
#include <QListView>
#include <QPushButton>
#include <QVBoxLayout>

#include <algorithm>
#include <cmath>

#include "engine/meaning/typeset.h"
#include "gui/ink/box_layout.h"
#include "gui/models/text.h"
#include "gui/views/far_bar.h"
#include "gui/views/mends_view.h"
#include "gui/views/row_delegate.h"
#include "gui/views/selectable_label.h"

namespace spanwright::views {

using models::Asking;
using models::WeightList;

namespace {

constexpr int kMostShown = 7;

/// Percentage, a bar as long as it weighs (hatched where the utilisation falls), the name.
class WeightDelegate : public RowDelegate {
public:
    explicit WeightDelegate(QObject* parent) : RowDelegate(1.5, parent) {}

protected:
    void draw(QPainter& painter, const QStyleOptionViewItem& option, const QModelIndex& index, const ink::Palette& p) const override {
        painter.setRenderHint(QPainter::Antialiasing);
        const QRectF place = QRectF(option.rect).adjusted(4, 0, -4, 0);
        const QFontMetricsF fm(option.font);
        const QString percent =
            index.data(WeightList::PercentRole).toString() + (index.data(WeightList::ExactRole).toBool() ? QString() : QStringLiteral(" ~"));
        const qreal number = fm.horizontalAdvance(QStringLiteral("-0.0000 % ~")), bars = std::max(20.0, (place.width() - number) * 0.32);
        painter.setPen(p.pencil);
        painter.drawText(QRectF(place.left(), place.top(), number, place.height()), Qt::AlignRight | Qt::AlignVCenter, percent);
        const double share = index.data(WeightList::ShareRole).toDouble();
        const QRectF bar(place.left() + number + 8.5, std::round(place.top() + place.height() * 0.28) + 0.5, std::max(1.0, std::fabs(share) * bars),
                         std::round(place.height() * 0.44));
        if (share < 0) painter.fillRect(bar, QBrush(p.pencil, Qt::BDiagPattern));
        painter.setPen(QPen(p.pencil, 1));
        painter.drawRect(bar);
        const QString name = index.data(WeightList::NameRole).toString();
        qreal x = place.left() + number + bars + 16;
        // Of another member with its mark; the name itself as it is set in formulas.
        const qsizetype dot = name.indexOf(QLatin1Char('.'));
        if (dot > 0) x = words(painter, place, x, name.left(dot + 1), option.font, p.sepia);
        const ink::BoxLayout symbol(meaning::typesetName(models::toUtf8(name.mid(dot + 1))), option.font);
        symbol.draw(painter, QPointF(x, place.center().y() - symbol.size().height() / 2), dot > 0 ? p.sepia : p.pencil, p.softPencil);
        x += symbol.size().width() + fm.averageCharWidth();
        words(painter, place, x, index.data(WeightList::WhatRole).toString(), ink::smallFont(option.font), p.softPencil);
    }
};

/// Buttons side by side, one below the other where there is no room for that: they force nothing beside them out of sight.
class ButtonRow : public QWidget {
public:
    explicit ButtonRow(QWidget* parent) : QWidget(parent), m_row(new QBoxLayout(QBoxLayout::LeftToRight, this)) { m_row->setContentsMargins(0, 0, 0, 0); }
    void take(const QList<QPushButton*>& buttons) {
        m_list = buttons;
        for (QPushButton* b : m_list) {
            b->setMinimumWidth(1);
            b->setSizePolicy(QSizePolicy::Maximum, QSizePolicy::Fixed);
            m_row->addWidget(b);
        }
        m_row->addStretch(1);
    }

protected:
    void resizeEvent(QResizeEvent* event) override {
        QWidget::resizeEvent(event);
        int wide = m_row->spacing() * static_cast<int>(m_list.size() - 1);
        for (const QPushButton* b : m_list) wide += b->sizeHint().width();
        m_row->setDirection(wide > width() ? QBoxLayout::TopToBottom : QBoxLayout::LeftToRight);
    }

private:
    QBoxLayout* m_row;
    QList<QPushButton*> m_list;
};

} // namespace

TrialGlance::TrialGlance(models::JobSession& session, QWidget* parent)
    : QWidget(parent), m_session(session), m_far(new models::FarModel(session, this)), m_weights(new WeightList(session, this)),
      m_tolerance(new models::ToleranceWords(session, this)) {
    auto* column = new QVBoxLayout(this);
    column->setContentsMargins(0, 4, 0, 4);
    column->setSpacing(4);
    const auto label = [&] {
        auto* l = new SelectableLabel(this);
        l->setWordWrap(true);
        l->setTextFormat(Qt::PlainText);
        column->addWidget(l);
        return l;
    };
    m_title = label();
    m_bar = new FarBar(this);
    column->addWidget(m_bar);
    m_words = label();
    m_mends = new MendsView(session, this);
    column->addWidget(m_mends);
    m_weightsTitle = label();
    m_weightsTitle->setText(tr("What weighs on it"));
    m_weightsWords = label();
    m_weightsView = new QListView(this);
    m_weightsView->setModel(m_weights);
    m_weightsView->setItemDelegate(new WeightDelegate(m_weightsView));
    m_weightsView->setFrameStyle(QFrame::NoFrame);
    m_weightsView->setUniformItemSizes(true);
    m_weightsView->setMouseTracking(true);
    m_weightsView->setEditTriggers(QAbstractItemView::NoEditTriggers);
    m_weightsView->setHorizontalScrollBarPolicy(Qt::ScrollBarAlwaysOff);
    m_weightsView->setAccessibleName(tr("What weighs on the check"));
    column->addWidget(m_weightsView);
    auto* buttons = new ButtonRow(this);
    m_buttons = buttons;
    m_vary = new QPushButton(tr("Vary it..."), m_buttons);
    m_pin = new QPushButton(tr("Pin into the report"), m_buttons);
    buttons->take({m_vary, m_pin});
    column->addWidget(m_buttons);
    m_toleranceTitle = label();
    m_toleranceTitle->setText(tr("Within the tolerances"));
    m_toleranceWords = label();
    m_pinTolerance = new QPushButton(tr("Pin the tolerances into the report"), this);
    m_pinTolerance->setObjectName(QStringLiteral("pinTolerance"));
    column->addWidget(m_pinTolerance, 0, Qt::AlignLeft);
    connect(m_vary, &QPushButton::clicked, this, &TrialGlance::varyWanted);
    connect(m_pin, &QPushButton::clicked, this, &TrialGlance::pinWanted);
    connect(m_pinTolerance, &QPushButton::clicked, this, &TrialGlance::pinToleranceWanted);
    connect(m_weightsView, &QListView::activated, this, &TrialGlance::follow);
    connect(m_weightsView, &QListView::clicked, this, &TrialGlance::follow);
    connect(m_far, &models::FarModel::changed, this, &TrialGlance::refreshFar);
    connect(m_weights, &WeightList::changed, this, &TrialGlance::refreshWeights);
    connect(m_tolerance, &models::ToleranceWords::changed, this, &TrialGlance::refreshTolerance);
    showCell(std::nullopt);
}

void TrialGlance::showCell(std::optional<models::CellId> cell) {
    m_cell = cell;
    m_jobValue.clear();
    refresh();
}

void TrialGlance::showJobValue(const std::string& name) {
    m_cell.reset();
    m_jobValue = name;
    refresh();
}

void TrialGlance::refresh() {
    const bool there = m_cell && m_session.isOpen() && m_cell->member < m_session.job().memberCount() && m_session.hasSheet(m_cell->member) &&
                       m_cell->quantity.index() < m_session.job().sheet(m_cell->member).quantities.size();
    const bool own = !m_cell && !m_jobValue.empty() && m_session.isOpen();
    m_stated = own || (there && models::FarModel::canAsk(m_session, *m_cell));
    const job::CheckView* check = there ? m_session.check(*m_cell) : nullptr;
    m_check = check != nullptr;
    const bool weighed = check != nullptr && !check->isRequire && check->utilisation.has_value();
    const bool fails = check != nullptr && check->state == job::CheckView::State::Fails;
    if (own)
        m_far->showJobValue(m_jobValue);
    else
        m_far->showCell(m_stated ? m_cell : std::nullopt);
    m_weights->showCell(weighed ? m_cell : std::nullopt);
    m_tolerance->showCell(weighed ? m_cell : std::nullopt);
    m_mends->showMember(fails && isVisible() ? std::optional(m_cell->member) : std::nullopt);
    m_weightsTitle->setVisible(weighed);
    setVisible(m_stated || m_check);
    const bool job = m_session.isOpen() && !m_session.job().isSingleSheet();
    m_buttons->setVisible(m_stated || weighed);
    m_vary->setVisible(m_stated);
    m_pin->setVisible(job && (m_stated || weighed));
    attend();
    refreshFar();
    refreshWeights();
    refreshTolerance();
}

/// Only what is seen is worked out.
void TrialGlance::attend() {
    m_far->asking().setActive(isVisible() && m_stated);
    m_weights->asking().setActive(isVisible() && m_check);
    m_tolerance->asking().setActive(isVisible() && m_check);
}

void TrialGlance::refreshFar() {
    QFont bold = font();
    bold.setBold(true);
    m_title->setFont(bold);
    m_title->setVisible(m_stated);
    const bool choice = m_stated && m_cell && m_session.quantity(*m_cell).kind == meaning::Kind::Choose;
    m_title->setText(choice ? tr("Which rows pass") : tr("How far it can go"));
    const auto& far = m_far->far();
    const bool bar = m_stated && far && !far->ofOptions;
    m_bar->setVisible(bar);
    if (bar) m_bar->show(*far, m_far->holds());
    const QStringList words = m_stated ? m_far->words() : QStringList();
    m_words->setText(words.join(QLatin1Char('\n')));
    m_words->setVisible(!words.isEmpty());
}

void TrialGlance::refreshWeights() {
    QFont bold = font();
    bold.setBold(true);
    m_weightsTitle->setFont(bold);
    const QString words = m_weightsTitle->isVisibleTo(this) ? m_weights->words() : QString();
    m_weightsWords->setText(words);
    m_weightsWords->setFont(ink::smallFont(font()));
    m_weightsWords->setVisible(!words.isEmpty());
    const bool any = m_weights->rowCount() > 0;
    m_weightsView->setVisible(any);
    if (any) fitRows(*m_weightsView, kMostShown);
}

void TrialGlance::refreshTolerance() {
    QFont bold = font();
    bold.setBold(true);
    const bool any = m_check && m_tolerance->any();
    m_toleranceTitle->setFont(bold);
    m_toleranceTitle->setVisible(any);
    m_toleranceWords->setText(any ? m_tolerance->words().join(QLatin1Char('\n')) : QString());
    m_toleranceWords->setVisible(any);
    m_pinTolerance->setVisible(any && m_session.isOpen() && !m_session.job().isSingleSheet());
}

void TrialGlance::follow(const QModelIndex& at) {
    if (at.isValid()) Q_EMIT followed(m_weights->spot(at.row()));
}

QString TrialGlance::shownText() const {
    QStringList out;
    for (const QLabel* l : {m_title, m_words, m_weightsTitle, m_weightsWords, m_toleranceTitle, m_toleranceWords})
        if (l->isVisibleTo(this)) out << l->text();
    if (m_mends->isVisibleTo(this)) out << m_mends->words();
    return out.join(QLatin1Char('\n'));
}

void TrialGlance::showEvent(QShowEvent* event) {
    QWidget::showEvent(event);
    refresh();
}

void TrialGlance::hideEvent(QHideEvent* event) {
    QWidget::hideEvent(event);
    m_mends->showMember(std::nullopt);
    attend();
}

void TrialGlance::changeEvent(QEvent* event) {
    QWidget::changeEvent(event);
    if (event->type() != QEvent::FontChange) return;
    refreshFar();
    refreshWeights();
    refreshTolerance();
}

} // namespace spanwright::views
