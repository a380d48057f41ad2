// SPDX-License-Identifier: MIT
#include "gui/views/sentence_bar.h"

#include <QKeyEvent>
#include <QPainter>
#include <QVBoxLayout>

#include <algorithm>

#include "gui/ink/palette.h"
#include "gui/ink/stamp.h"
#include "gui/views/row_delegate.h"

namespace spanwright::views {

using models::ProblemList;
using models::Trouble;

namespace {

/// What is wrong as a boxed word, then the words, then what to do about it.
class TroubleDelegate : public RowDelegate {
public:
    explicit TroubleDelegate(QObject* parent) : RowDelegate(1.7, parent) {}

protected:
    void draw(QPainter& painter, const QStyleOptionViewItem& option, const QModelIndex& index, const ink::Palette& p) const override {
        const auto sort = static_cast<Trouble::Sort>(index.data(ProblemList::SortRole).toInt());
        const QFont small = ink::smallFont(option.font);
        const QString word = ProblemList::word(sort).toUpper();
        const ink::Stamp stamp = sort == Trouble::Sort::Fails                                         ? ink::Stamp::Fails
                                 : sort == Trouble::Sort::NotComputed || sort == Trouble::Sort::Trial ? ink::Stamp::NotComputed
                                                                                                      : ink::Stamp::NotProven;
        const QRectF place = QRectF(option.rect).adjusted(8, 2, -8, -2);
        const QSizeF box = ink::stampSize(small, word, stamp);
        const qreal column = ink::stampSize(small, ProblemList::word(Trouble::Sort::NotComputed).toUpper(), ink::Stamp::NotComputed).width();
        ink::drawStamp(painter, QRectF(place.left(), place.top(), box.width(), place.height()), small, word, stamp, p);
        qreal x = place.left() + column + 12;
        x = words(painter, place, x, index.data().toString(), option.font, p.pencil) + 16;
        const QString mend = index.data(ProblemList::MendRole).toString();
        if (!mend.isEmpty() && x < place.right() - 60) words(painter, place, x, SentenceBar::tr("mend: %1").arg(mend), small, p.softPencil);
    }
};

constexpr int kMostSeen = 8;

} // namespace

SentenceButton::SentenceButton(QWidget* parent) : QAbstractButton(parent) {
    setFocusPolicy(Qt::StrongFocus);
    setCursor(Qt::PointingHandCursor);
    QSizePolicy policy(QSizePolicy::Ignored, QSizePolicy::Fixed);
    policy.setHeightForWidth(true);
    setSizePolicy(policy);
}

QSize SentenceButton::sizeHint() const { return {300, heightForWidth(std::max(width(), 300))}; }

int SentenceButton::heightForWidth(int width) const {
    QFont bold = font();
    bold.setBold(true);
    return QFontMetrics(bold).boundingRect(QRect(0, 0, std::max(width - 20, 60), 10'000), Qt::TextWordWrap, text()).height() + 14;
}

void SentenceButton::paintEvent(QPaintEvent*) {
    QPainter painter(this);
    const ink::Palette& p = ink::paletteOf(palette());
    QFont bold = font();
    bold.setBold(true);
    painter.setFont(bold);
    painter.setPen(p.pencil);
    const QRect place = rect().adjusted(10, 0, -10, 0);
    painter.drawText(place, Qt::AlignLeft | Qt::AlignVCenter | Qt::TextWordWrap, text());
    if (!hasFocus()) return;
    painter.setPen(QPen(p.sepia, 2));
    painter.drawRect(rect().adjusted(1, 1, -1, -1));
}

SentenceBar::SentenceBar(ProblemList& problems, QWidget* parent)
    : QWidget(parent), m_problems(problems), m_sentence(new SentenceButton(this)), m_list(new QListView(this)) {
    auto* column = new QVBoxLayout(this);
    column->setContentsMargins(0, 0, 0, 0);
    column->setSpacing(0);
    column->addWidget(m_sentence);
    column->addWidget(m_list);
    m_sentence->setCheckable(true);
    m_sentence->setAccessibleDescription(tr("Opens the list of what is wrong"));
    m_list->setModel(&problems);
    m_list->setItemDelegate(new TroubleDelegate(m_list));
    m_list->setFrameStyle(QFrame::NoFrame);
    m_list->setUniformItemSizes(true);
    m_list->setAccessibleName(tr("What is wrong"));
    m_list->setEditTriggers(QAbstractItemView::NoEditTriggers);
    m_list->installEventFilter(this);
    m_list->hide();
    connect(m_sentence, &QAbstractButton::toggled, this, &SentenceBar::setOpen);
    connect(&problems, &ProblemList::standingChanged, this, &SentenceBar::refresh);
    const auto go = [this](const QModelIndex& at) {
        // A copy: the jump may change what the list holds.
        const Trouble trouble = m_problems.trouble(at.row());
        Q_EMIT jump(trouble);
    };
    connect(m_list, &QListView::clicked, this, go);
    connect(m_list, &QListView::activated, this, go);
    refresh();
}

void SentenceBar::setOpen(bool open) {
    open = open && m_problems.rowCount() > 0;
    m_sentence->setChecked(open);
    m_list->setVisible(open);
    if (!open) return;
    if (!m_list->currentIndex().isValid()) m_list->setCurrentIndex(m_problems.index(0));
    m_list->setFocus();
}

void SentenceBar::addBelow(QWidget* widget) { layout()->addWidget(widget); }

void SentenceBar::refresh() {
    const QString& text = m_problems.standing().sentence;
    m_sentence->setToolTip(text);
    m_sentence->setAccessibleName(text);
    m_sentence->setText(text);
    m_sentence->updateGeometry();
    if (m_problems.rowCount() == 0 && m_list->isVisibleTo(this)) setOpen(false);
    const int rows = std::clamp(m_problems.rowCount(), 1, kMostSeen);
    m_list->setFixedHeight(rows * static_cast<int>(fontMetrics().height() * 1.7) + 4);
}

bool SentenceBar::eventFilter(QObject* object, QEvent* event) {
    if (object == m_list && event->type() == QEvent::KeyPress) {
        const int key = static_cast<QKeyEvent*>(event)->key();
        if (key == Qt::Key_Escape) {
            setOpen(false);
            m_sentence->setFocus();
            return true;
        }
        if ((key == Qt::Key_Return || key == Qt::Key_Enter) && m_list->currentIndex().isValid()) {
            const Trouble trouble = m_problems.trouble(m_list->currentIndex().row());
            Q_EMIT jump(trouble);
            return true;
        }
    }
    return QWidget::eventFilter(object, event);
}

} // namespace spanwright::views
