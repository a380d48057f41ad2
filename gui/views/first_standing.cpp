// SPDX-License-Identifier: MIT
#include "gui/views/first_standing.h"

#include <QEvent>
#include <QLabel>
#include <QListWidget>
#include <QPainter>
#include <QVBoxLayout>

#include <algorithm>

#include "engine/report/build.h"
#include "engine/units/format.h"
#include "gui/models/grid_model.h"
#include "gui/models/text.h"
#include "gui/models/words.h"
#include "gui/views/drawing_view.h"
#include "gui/views/first_picture.h"
#include "gui/views/stamp_label.h"

namespace spanwright::views {

using job::CheckView;
using models::FirstJob;
using models::fromUtf8;

namespace {

/// The picture of what is to be built, until the sheet's own sketch can be drawn.
class StandingPicture : public QWidget {
public:
    using QWidget::QWidget;
    std::optional<models::FirstPicture> picture;
    [[nodiscard]] QSize sizeHint() const override { return {320, 180}; }

protected:
    void paintEvent(QPaintEvent*) override {
        QPainter painter(this);
        if (picture) drawFirstPicture(painter, QRectF(rect()).adjusted(8, 8, -8, -8), *picture, ink::paletteOf(palette()));
    }
};

/// By how much each says against building.
bool worse(job::Verdict a, job::Verdict b) {
    const auto weight = [](job::Verdict v) {
        switch (v) {
        case job::Verdict::Ok: return 0;
        case job::Verdict::NotProven: return 1;
        case job::Verdict::Fails: return 2;
        case job::Verdict::NotComputed: return 3;
        }
        return 3;
    };
    return weight(a) < weight(b);
}

QString words(const CheckView& c) { return models::wordsOf(c.what.empty() ? c.name : c.what); }

} // namespace

AnsweredBoxes::AnsweredBoxes(QWidget* parent) : QWidget(parent) { setSizePolicy(QSizePolicy::Expanding, QSizePolicy::Fixed); }

void AnsweredBoxes::show(int answered, int all) {
    m_answered = answered;
    m_all = all;
    setAccessibleName(tr("%1 of %2 questions answered").arg(answered).arg(all));
    updateGeometry();
    update();
}

QSize AnsweredBoxes::sizeHint() const { return {200, fontMetrics().height() + 4}; }

void AnsweredBoxes::paintEvent(QPaintEvent*) {
    if (m_all <= 0) return;
    QPainter p(this);
    p.setRenderHint(QPainter::Antialiasing);
    const ink::Palette& ours = ink::paletteOf(palette());
    const qreal side = std::min<qreal>(fontMetrics().height() * 0.8, (width() - 4.0) / m_all * 0.75);
    const qreal step = std::min<qreal>(side * 1.5, (width() - 4.0 - side) / std::max(1, m_all - 1));
    for (int i = 0; i < m_all; ++i) {
        const QRectF box(1 + i * step, (height() - side) / 2, side, side);
        p.setPen(QPen(i < m_answered ? ours.pencil : ours.softPencil, 1));
        p.drawRect(box);
        if (i >= m_answered) continue;
        p.setPen(QPen(ours.pencil, 1.8, Qt::SolidLine, Qt::RoundCap, Qt::RoundJoin));
        p.drawPolyline(QPolygonF{QPointF(box.left() + side * 0.15, box.center().y()), QPointF(box.left() + side * 0.42, box.bottom() - side * 0.12),
                                 QPointF(box.right() + side * 0.2, box.top() - side * 0.2)});
    }
}

FirstStanding::FirstStanding(FirstJob& job, QWidget* parent) : QScrollArea(parent), m_job(job) {
    setWidgetResizable(true);
    setFrameStyle(QFrame::NoFrame);
    setHorizontalScrollBarPolicy(Qt::ScrollBarAlwaysOff);
    setAccessibleName(tr("How it stands"));
    auto* page = new QWidget(this);
    auto* column = new QVBoxLayout(page);
    column->setContentsMargins(14, 0, 8, 8);
    column->setSpacing(6);
    const auto label = [&](bool soft) {
        auto* l = new QLabel(page);
        l->setWordWrap(true);
        l->setTextFormat(Qt::PlainText);
        l->setTextInteractionFlags(Qt::TextSelectableByMouse);
        if (soft) l->setForegroundRole(QPalette::PlaceholderText);
        column->addWidget(l);
        return l;
    };
    m_title = label(false);
    m_boxes = new AnsweredBoxes(page);
    column->addWidget(m_boxes);
    m_count = label(true);
    m_stamp = new StampLabel(page);
    column->addWidget(m_stamp);
    m_governing = label(false);
    m_note = label(true);
    m_others = label(false);
    m_openTitle = label(false);
    m_openTitle->setText(tr("Not stated yet"));
    m_open = new QListWidget(page);
    m_open->setFrameStyle(QFrame::NoFrame);
    m_open->setAccessibleName(tr("Not stated yet"));
    m_open->setHorizontalScrollBarPolicy(Qt::ScrollBarAlwaysOff);
    m_open->setTextElideMode(Qt::ElideRight);
    column->addWidget(m_open);
    m_drawn = new StandingPicture(page);
    m_drawn->setSizePolicy(QSizePolicy::Expanding, QSizePolicy::Fixed);
    column->addWidget(m_drawn);
    m_sketchColumn = new QVBoxLayout;
    column->addLayout(m_sketchColumn);
    m_cautions = label(true);
    column->addStretch(1);
    setWidget(page);
    const auto go = [this](QListWidgetItem* item) { Q_EMIT wanted(item->data(Qt::UserRole).toString()); };
    connect(m_open, &QListWidget::itemActivated, this, go);
    connect(m_open, &QListWidget::itemClicked, this, go);
    connect(&job, &FirstJob::answered, this, &FirstStanding::refresh);
    fitFonts();
    refresh();
}

void FirstStanding::setPicture(std::optional<models::FirstPicture> picture) {
    m_picture = picture;
    static_cast<StandingPicture*>(m_drawn)->picture = picture;
    refresh();
}

void FirstStanding::fitFonts() {
    QFont bold = font();
    bold.setBold(true);
    m_title->setFont(bold);
    m_openTitle->setFont(bold);
    m_governing->setFont(font());
    for (QLabel* l : {m_count, m_note, m_cautions}) l->setFont(ink::smallFont(font()));
}

void FirstStanding::changeEvent(QEvent* event) {
    QScrollArea::changeEvent(event);
    if (event->type() != QEvent::FontChange || widget() == nullptr) return;
    fitFonts();
    refresh();
}

void FirstStanding::refresh() {
    if (!m_job.isBegun()) return;
    const job::MemberView& view = m_job.member();
    const job::Job& job = m_job.session().job();
    m_title->setText(fromUtf8(view.sheetTitle));
    const int all = m_job.needed(), answered = m_job.neededStated();
    const std::vector<int> refused = m_job.refused();
    m_boxes->show(answered, all);
    m_count->setText(!refused.empty() && answered == all ? tr("Not every answer is taken.")
                     : answered == all                   ? tr("Everything that the sheet asks is stated.")
                                                         : tr("%1 of %2 stated").arg(answered).arg(all));
    // What is carried by loads that are not proven is not proven: the worst of both members. An answer that is not taken proves nothing: what the
    // job has is the one of before.
    const job::Verdict verdict =
        refused.empty() ? std::max(view.verdict, m_job.hasLoads() ? job.member(1).verdict : view.verdict, worse) : job::Verdict::NotProven;
    m_word = models::GridModel::verdictWord(verdict);
    std::optional<double> utilisation;
    if (view.governing && refused.empty()) utilisation = view.checks[*view.governing].utilisation;
    if (m_job.session().isPending() || m_job.isTyping()) {
        // Of before the last answer: no verdict until it is given and worked out.
        m_word = tr("was %1").arg(m_word);
        m_stamp->show(ink::Stamp::None, m_word, std::nullopt);
    } else {
        m_stamp->show(ink::stampOf(verdict), m_word, utilisation);
    }

    // The governing check in plain words; before it, what fails, as that is what must be mended.
    const CheckView* governing = view.governing && refused.empty() ? &view.checks[*view.governing] : nullptr;
    QStringList others;
    for (const CheckView& c : view.checks) {
        if (&c == governing || !refused.empty()) continue;
        if (c.state == CheckView::State::Fails) others << tr("Fails too: %1").arg(words(c));
        // What is not proven may want a value that is folded away: the sheet says which.
        if (c.state == CheckView::State::NotProven)
            others << (c.note.empty() ? tr("Not proven: %1").arg(words(c)) : tr("Not proven: %1. %2").arg(words(c), models::wordsOf(c.note)));
    }
    for (const CheckView& c : m_job.hasLoads() && refused.empty() ? job.member(1).checks : std::vector<CheckView>()) {
        if (c.state == CheckView::State::Fails) others << tr("Fails in the loads: %1").arg(words(c));
        if (c.state == CheckView::State::NotProven) others << tr("Not proven in the loads: %1").arg(words(c));
    }
    if (governing != nullptr) {
        QString text = governing->state == CheckView::State::Fails ? tr("It fails in: %1").arg(words(*governing))
                                                                   : tr("What comes nearest to its limit: %1").arg(words(*governing));
        if (!governing->governingLabel.empty()) text += tr(" (case %1)").arg(fromUtf8(governing->governingLabel));
        if (!governing->leftShown.empty() && !governing->rightShown.empty())
            text += tr(". It takes %1 of %2").arg(fromUtf8(governing->leftShown), fromUtf8(governing->rightShown));
        m_governing->setText(text + QLatin1Char('.'));
        m_note->setText(models::wordsOf(governing->note));
    } else if (!refused.empty()) {
        m_governing->setText(tr("Nothing is proven while an answer is not taken."));
        m_note->setText({});
    } else {
        m_governing->setText(answered < all ? tr("No check can be worked out before more is stated.") : tr("No check can be worked out."));
        m_note->setText(view.reasons.empty() || answered < all ? QString() : models::wordsOf(view.reasons.front()));
    }
    m_note->setVisible(!m_note->text().isEmpty());
    m_others->setText(others.join(QLatin1Char('\n')));
    m_others->setVisible(!others.isEmpty());

    m_open->clear();
    for (int row = 0; row < m_job.rowCount(); ++row) {
        const QModelIndex at = m_job.index(row);
        const bool no = std::find(refused.begin(), refused.end(), row) != refused.end();
        const bool open = at.data(FirstJob::NeededRole).toBool() && !at.data(FirstJob::StatedRole).toBool() && at.data(FirstJob::LinkRole).toString().isEmpty();
        if (!no && !open) continue;
        auto* item = new QListWidgetItem(no ? tr("%1: not taken").arg(at.data().toString()) : at.data().toString(), m_open);
        item->setToolTip(at.data().toString());
        item->setData(Qt::UserRole, at.data(FirstJob::NameRole));
    }
    const bool any = m_open->count() > 0;
    m_openTitle->setText(refused.empty() ? tr("Not stated yet") : tr("Not stated yet, or not taken"));
    m_openTitle->setVisible(any);
    m_open->setVisible(any);
    if (any) m_open->setFixedHeight(std::min(m_open->count(), 8) * m_open->sizeHintForRow(0) + 4);

    std::vector<job::SketchView> sketches;
    std::size_t waiting = 0;
    for (const meaning::Quantity& q : job.sheet(0).quantities) {
        if (q.kind != meaning::Kind::Sketch) continue;
        auto sketch = job.sketch(0, q.id);
        if (!sketch) continue;
        waiting += sketch->leftOut.size();
        // A sketch of which most is missing says less than the picture.
        if (sketch->marks.size() > sketch->leftOut.size()) sketches.push_back(std::move(*sketch));
    }
    while (m_sketches.size() > sketches.size()) {
        delete m_sketches.back();
        m_sketches.pop_back();
    }
    while (m_sketches.size() < sketches.size()) {
        m_sketches.push_back(new DrawingView(widget()));
        m_sketchColumn->addWidget(m_sketches.back());
    }
    for (std::size_t i = 0; i < sketches.size(); ++i) {
        QString caption = fromUtf8(sketches[i].title + (sketches[i].what.empty() ? "" : ": " + sketches[i].what));
        if (!sketches[i].leftOut.empty()) caption += QLatin1Char('\n') + tr("Not drawn yet: what waits for values that are not stated.");
        m_sketches[i]->setDrawing(report::sketchDrawing(sketches[i]), caption);
    }
    m_drawn->setVisible(m_sketches.empty() && m_picture.has_value());
    QStringList cautions;
    for (const std::string& c : job.sheet(0).cautions) cautions << fromUtf8(c);
    m_cautions->setText(cautions.isEmpty() ? QString() : tr("Caution: %1").arg(cautions.join(QLatin1Char('\n'))));
    m_cautions->setVisible(!cautions.isEmpty());
}

QString FirstStanding::said() const {
    QStringList out{m_title->text(), m_count->text(), m_stamp->accessibleName(), m_governing->text(), m_note->text(), m_others->text()};
    for (int i = 0; i < m_open->count(); ++i) out << m_open->item(i)->text();
    out.removeAll(QString());
    return out.join(QLatin1Char('\n'));
}

} // namespace spanwright::views
