// SPDX-License-Identifier: MIT
#include "gui/views/mends_view.h"

#include <QEvent>
#include <QLabel>
#include <QListView>
#include <QPushButton>
#include <QVBoxLayout>

#include <algorithm>

#include "gui/views/row_delegate.h"

namespace spanwright::views {

using models::MendList;

namespace {

/// The change, then how it is now.
class MendDelegate : public RowDelegate {
public:
    explicit MendDelegate(QObject* parent) : RowDelegate(1.5, parent) {}

protected:
    void draw(QPainter& painter, const QStyleOptionViewItem& option, const QModelIndex& index, const ink::Palette& p) const override {
        const QRectF place = QRectF(option.rect).adjusted(8, 0, -4, 0);
        const qreal letter = QFontMetricsF(option.font).averageCharWidth();
        const qreal x = words(painter, place, place.left(), index.data().toString(), option.font, p.pencil) + letter * 2;
        if (x < place.right() - letter * 6) words(painter, place, x, index.data(MendList::NowRole).toString(), ink::smallFont(option.font), p.softPencil);
    }
};

} // namespace

void fitRows(QListView& list, int most) {
    const int rows = std::clamp(list.model()->rowCount(), 1, most);
    list.setFixedHeight(rows * std::max(1, list.sizeHintForRow(0)) + 2 * list.frameWidth() + 2);
}

MendsView::MendsView(models::JobSession& session, QWidget* parent, int rows) : QWidget(parent), m_mends(new MendList(session, this)), m_seen(rows) {
    auto* column = new QVBoxLayout(this);
    column->setContentsMargins(0, 0, 0, 0);
    column->setSpacing(4);
    m_words = new QLabel(this);
    m_words->setWordWrap(true);
    m_words->setTextFormat(Qt::PlainText);
    column->addWidget(m_words);
    m_list = new QListView(this);
    m_list->setModel(m_mends);
    m_list->setItemDelegate(new MendDelegate(m_list));
    m_list->setFrameStyle(QFrame::NoFrame);
    m_list->setUniformItemSizes(true);
    m_list->setEditTriggers(QAbstractItemView::NoEditTriggers);
    m_list->setHorizontalScrollBarPolicy(Qt::ScrollBarAlwaysOff);
    m_list->setAccessibleName(tr("Changes that would do"));
    column->addWidget(m_list);
    m_put = new QPushButton(tr("Put it into the job"), this);
    m_put->setSizePolicy(QSizePolicy::Maximum, QSizePolicy::Fixed);
    column->addWidget(m_put);
    connect(m_put, &QPushButton::clicked, this, &MendsView::putIntoJob);
    connect(m_list, &QListView::activated, this, [this](const QModelIndex&) { putIntoJob(); });
    connect(m_mends, &MendList::changed, this, &MendsView::refresh);
    refresh();
}

void MendsView::showMember(std::optional<std::size_t> member) {
    m_mends->showMember(member);
    m_mends->asking().setActive(member.has_value());
    refresh();
}

QString MendsView::words() const { return m_words->text(); }

void MendsView::refresh() {
    const QString words = m_mends->words();
    m_words->setText(words);
    m_words->setVisible(!words.isEmpty());
    const bool any = m_mends->rowCount() > 0;
    m_list->setVisible(any);
    m_put->setVisible(any);
    if (any) {
        if (!m_list->currentIndex().isValid()) m_list->setCurrentIndex(m_mends->index(0));
        fitRows(*m_list, m_seen);
    }
    setVisible(!words.isEmpty() || any);
}

void MendsView::putIntoJob() {
    const QModelIndex at = m_list->currentIndex();
    if (!at.isValid()) return;
    const QString change = at.data().toString();
    const models::Outcome outcome = m_mends->putIntoJob(at.row());
    Q_EMIT put(outcome, change);
}

void MendsView::changeEvent(QEvent* event) {
    QWidget::changeEvent(event);
    if (event->type() == QEvent::FontChange && m_list->isVisibleTo(this)) fitRows(*m_list, m_seen);
}

} // namespace spanwright::views
