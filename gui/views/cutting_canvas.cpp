// SPDX-License-Identifier: MIT
#include "gui/views/cutting_canvas.h"

#include <QAccessible>
#include <QHelpEvent>
#include <QKeyEvent>
#include <QMouseEvent>
#include <QPainter>
#include <QToolTip>

#include <algorithm>
#include <cmath>

#include "engine/report/shop_pages.h"
#include "gui/ink/drawing_paint.h"
#include "gui/ink/palette.h"
#include "gui/models/text.h"

namespace spanwright::views {

using models::fromUtf8;

namespace {

constexpr int kMargin = 10;
constexpr double kLargest = 1.6;  // of the size on paper, at the usual size of letters
constexpr double kSmallest = 0.9; // below that nobody reads what stands on a piece: then it is scrolled
constexpr int kLowestRoom = 240;
constexpr double kMarkedLine = 3.2;

QString captionOf(const shop::Workshop& w, const shop::GroupPlan& g, const shop::CutBoard& b) {
    const shop::StockRow& stock = w.rows.stock[b.stock];
    QString out = (g.panels ? CuttingCanvas::tr("panel %1") : CuttingCanvas::tr("board %1")).arg(fromUtf8(report::boardNumbers(b)));
    if (b.times > 1) out += CuttingCanvas::tr(", %1 alike").arg(b.times);
    out += QStringLiteral(": %1, %2").arg(fromUtf8(stock.name), fromUtf8(shop::sizeOf(stock)));
    if (b.onHand) out += CuttingCanvas::tr(", on hand");
    return out;
}

} // namespace

CuttingCanvas::CuttingCanvas(QWidget* parent) : QWidget(parent) {
    setFocusPolicy(Qt::StrongFocus);
    setMouseTracking(true);
    QSizePolicy policy(QSizePolicy::Expanding, QSizePolicy::Fixed);
    policy.setHeightForWidth(true);
    setSizePolicy(policy);
    setAccessibleName(tr("Boards and panels as they are cut"));
}

void CuttingCanvas::setGroups(std::vector<Group> groups) {
    // The piece that was pointed at, if it is still cut.
    std::optional<QString> before;
    std::string mark, name;
    if (m_current) {
        mark = m_pieces[*m_current].at.mark;
        name = m_pieces[*m_current].at.name;
        before = m_pieces[*m_current].at.words;
    }
    m_groups = std::move(groups);
    m_boards.clear();
    m_pieces.clear();
    m_current.reset();
    for (std::size_t g = 0; g < m_groups.size(); ++g) {
        const Group& group = m_groups[g];
        const shop::Workshop& w = *group.of;
        if (group.plan.boards.empty()) {
            Board head;
            head.group = g;
            head.firstPiece = m_pieces.size();
            head.none = true;
            m_boards.push_back(std::move(head));
        }
        for (const shop::CutBoard& b : group.plan.boards) {
            Board board;
            board.group = g;
            board.drawing = report::cutDrawing(w, group.plan, b);
            board.caption = captionOf(w, group.plan, b);
            board.firstPiece = m_pieces.size();
            const report::CutFrame frame = report::cutFrame(group.plan, b);
            for (const shop::CutPiece& p : b.pieces) {
                QPolygonF outline;
                for (const shop::Spot& s : p.outline)
                    outline << QPointF(frame.left + static_cast<double>(s.x) * frame.across, frame.top + static_cast<double>(s.y) * frame.down);
                board.outlines.push_back(std::move(outline));
                const shop::Part& part = w.parts.parts[p.part];
                Piece piece;
                piece.board = m_boards.size();
                piece.at.mark = part.mark;
                piece.at.name = part.view.name;
                piece.at.file = part.view.place.file;
                piece.at.row = part.view.place.row;
                piece.at.words = tr("%1, %2 mm, number %3 of %4, on %5, from %6 to %7 mm")
                                     .arg(fromUtf8(part.label), fromUtf8(shop::sizeOf(part.view)))
                                     .arg(p.number)
                                     .arg(part.count)
                                     .arg(board.caption.section(QLatin1Char(':'), 0, 0), fromUtf8(report::tapeText(p.box.x, report::Tape::Millimetres)),
                                          fromUtf8(report::tapeText(p.box.x + p.box.width, report::Tape::Millimetres)));
                if (before && piece.at.words == *before) m_current = m_pieces.size();
                m_pieces.push_back(std::move(piece));
            }
            m_boards.push_back(std::move(board));
        }
    }
    for (std::size_t i = 0; before && !m_current && i < m_pieces.size(); ++i)
        if (m_pieces[i].at.mark == mark && m_pieces[i].at.name == name) m_current = i;
    relay();
}

void CuttingCanvas::setMember(const std::string& mark) {
    if (m_member == mark) return;
    m_member = mark;
    update();
}

void CuttingCanvas::setRoom(int height) {
    height = std::max(height, kLowestRoom);
    if (m_room == height) return;
    m_room = height;
    relay();
}

void CuttingCanvas::lay(int width, std::vector<Place>& places, int& height) const {
    places.clear();
    double y = kMargin;
    const double wide = std::max(80, width - 2 * kMargin);
    const double line = fontMetrics().height();
    // Large letters want large drawings.
    const double letters = std::max(1.0, line / 17.0);
    const double largest = kLargest * letters;
    std::size_t group = m_groups.size();
    for (const Board& b : m_boards) {
        Place p;
        if (b.group != group) {
            group = b.group;
            if (!places.empty()) y += line * 0.6;
            const Group& g = m_groups[group];
            const QString head = fromUtf8(shop::titleOf(g.plan)) + QStringLiteral("   ") + g.words;
            QFont bold = font();
            bold.setBold(true);
            const QRect need = QFontMetrics(bold).boundingRect(QRect(0, 0, static_cast<int>(wide), 10'000), Qt::TextWordWrap, head);
            p.head = QRectF(kMargin, y, wide, need.height() + 4);
            y += p.head.height();
        }
        if (b.none) {
            places.push_back(p);
            continue;
        }
        const double high = std::max(m_room - 4.0 * line, 0.55 * kLowestRoom);
        p.scale = std::min({largest, wide / b.drawing.width, std::max(high / b.drawing.height, kSmallest * letters)});
        const QRect need = fontMetrics().boundingRect(QRect(0, 0, static_cast<int>(wide), 10'000), Qt::TextWordWrap, b.caption);
        p.caption = QRectF(kMargin, y, wide, need.height() + 2);
        y += p.caption.height();
        p.drawing = QRectF(kMargin, y, b.drawing.width * p.scale, b.drawing.height * p.scale);
        y += p.drawing.height() + line * 0.3;
        places.push_back(p);
    }
    height = static_cast<int>(std::ceil(y)) + kMargin;
}

void CuttingCanvas::relay() {
    lay(width(), m_places, m_height);
    updateGeometry();
    update();
}

int CuttingCanvas::heightForWidth(int width) const {
    std::vector<Place> places;
    int height = 0;
    lay(width, places, height);
    return height;
}

QSize CuttingCanvas::sizeHint() const { return {420, heightForWidth(420)}; }

QPolygonF CuttingCanvas::outline(std::size_t piece) const {
    const std::size_t b = m_pieces[piece].board;
    const Place& place = m_places[b];
    QPolygonF out = m_boards[b].outlines[piece - m_boards[b].firstPiece];
    for (QPointF& p : out) p = place.drawing.topLeft() + p * place.scale;
    return out;
}

QPoint CuttingCanvas::middleOf(std::size_t piece) const { return outline(piece).boundingRect().center().toPoint(); }

std::size_t CuttingCanvas::marked() const {
    return static_cast<std::size_t>(std::count_if(m_pieces.begin(), m_pieces.end(), [this](const Piece& p) { return p.at.mark == m_member; }));
}

std::optional<std::size_t> CuttingCanvas::pieceAt(QPointF at) const {
    for (std::size_t b = 0; b < m_places.size() && b < m_boards.size(); ++b) {
        if (!m_places[b].drawing.contains(at)) continue;
        for (std::size_t i = 0; i < m_boards[b].outlines.size(); ++i) {
            const std::size_t piece = m_boards[b].firstPiece + i;
            if (outline(piece).containsPoint(at, Qt::OddEvenFill)) return piece;
        }
    }
    return {};
}

void CuttingCanvas::setCurrent(std::optional<std::size_t> piece, bool seen) {
    if (m_current == piece) return;
    m_current = piece;
    setAccessibleDescription(piece ? m_pieces[*piece].at.words : QString());
    QAccessibleEvent told(this, QAccessible::DescriptionChanged);
    QAccessible::updateAccessibility(&told);
    if (piece && seen) Q_EMIT wanted(outline(*piece).boundingRect().toAlignedRect().adjusted(-8, -30, 8, 8));
    update();
}

void CuttingCanvas::follow(std::size_t piece) {
    const PieceAt at = m_pieces[piece].at; // what is told may be drawn anew meanwhile
    Q_EMIT followed(at);
}

void CuttingCanvas::paintEvent(QPaintEvent* event) {
    QPainter p(this);
    p.setRenderHint(QPainter::Antialiasing);
    const ink::Palette& colours = ink::paletteOf(palette());
    const QRectF seen = event->rect();
    for (std::size_t b = 0; b < m_boards.size() && b < m_places.size(); ++b) {
        const Place& place = m_places[b];
        const Board& board = m_boards[b];
        const Group& group = m_groups[board.group];
        const QColor& pencil = group.old ? colours.softPencil : colours.pencil;
        if (!place.head.isEmpty() && place.head.intersects(seen)) {
            QFont bold = font();
            bold.setBold(true);
            const QString title = fromUtf8(shop::titleOf(group.plan));
            p.setPen(pencil);
            p.setFont(bold);
            const int room = static_cast<int>(place.head.width());
            const int titleWidth = p.fontMetrics().horizontalAdvance(title) + p.fontMetrics().horizontalAdvance(QStringLiteral("   "));
            if (titleWidth + fontMetrics().horizontalAdvance(group.words) <= room) {
                p.drawText(place.head, Qt::AlignLeft | Qt::AlignTop, title);
                p.setFont(font());
                p.drawText(place.head.adjusted(titleWidth, 0, 0, 0), Qt::AlignLeft | Qt::AlignTop, group.words);
            } else {
                p.setFont(font());
                p.drawText(place.head, Qt::AlignLeft | Qt::AlignTop | Qt::TextWordWrap, title + QStringLiteral("   ") + group.words);
            }
        }
        if (board.none || !place.caption.united(place.drawing).intersects(seen)) continue;
        QFont italic = font();
        italic.setItalic(true);
        p.setFont(italic);
        p.setPen(pencil);
        p.drawText(place.caption, Qt::TextWordWrap, board.caption);
        p.setFont(font());
        p.save();
        p.translate(place.drawing.topLeft());
        p.scale(place.scale, place.scale);
        ink::paintDrawing(p, board.drawing, pencil);
        p.restore();
        for (std::size_t i = 0; i < board.outlines.size(); ++i) {
            const std::size_t piece = board.firstPiece + i;
            if (!m_member.empty() && m_pieces[piece].at.mark == m_member) {
                p.setPen(QPen(colours.sepia, kMarkedLine, Qt::SolidLine, Qt::SquareCap, Qt::MiterJoin));
                p.setBrush(Qt::NoBrush);
                p.drawPolygon(outline(piece));
            }
        }
        if (m_current && m_pieces[*m_current].board == b) {
            // The frame stands inside, so that it is seen beside the mark of a member.
            p.setPen(QPen(hasFocus() ? colours.sepia : colours.softPencil, 2, Qt::DotLine));
            p.setBrush(Qt::NoBrush);
            p.drawRect(outline(*m_current).boundingRect().adjusted(4, 4, -4, -4));
        }
    }
}

void CuttingCanvas::resizeEvent(QResizeEvent*) { relay(); }

void CuttingCanvas::changeEvent(QEvent* event) {
    if (event->type() == QEvent::FontChange) relay();
    QWidget::changeEvent(event);
}

void CuttingCanvas::mousePressEvent(QMouseEvent* event) {
    const auto piece = event->button() == Qt::LeftButton ? pieceAt(event->position()) : std::nullopt;
    if (!piece) {
        QWidget::mousePressEvent(event);
        return;
    }
    setCurrent(piece, false);
    follow(*piece);
}

void CuttingCanvas::mouseMoveEvent(QMouseEvent* event) { setCursor(pieceAt(event->position()) ? Qt::PointingHandCursor : Qt::ArrowCursor); }

bool CuttingCanvas::event(QEvent* event) {
    if (event->type() == QEvent::ToolTip) {
        auto* help = static_cast<QHelpEvent*>(event);
        if (const auto piece = pieceAt(help->pos()))
            QToolTip::showText(help->globalPos(), m_pieces[*piece].at.words, this);
        else
            QToolTip::hideText();
        return true;
    }
    return QWidget::event(event);
}

void CuttingCanvas::keyPressEvent(QKeyEvent* event) {
    const auto step = [this](std::ptrdiff_t by) {
        const auto n = static_cast<std::ptrdiff_t>(m_pieces.size());
        if (n == 0) return;
        const std::ptrdiff_t to = m_current ? std::clamp<std::ptrdiff_t>(static_cast<std::ptrdiff_t>(*m_current) + by, 0, n - 1) : 0;
        setCurrent(static_cast<std::size_t>(to), true);
    };
    // From board to board: its first piece.
    const auto board = [this](int by) {
        if (m_pieces.empty()) return;
        std::size_t b = m_current ? m_pieces[*m_current].board : 0;
        do {
            if (by < 0 && b == 0) return;
            b = m_current ? b + static_cast<std::size_t>(by) : b;
            if (b >= m_boards.size()) return;
        } while (m_boards[b].outlines.empty() && m_current);
        setCurrent(m_boards[b].firstPiece, true);
    };
    switch (event->key()) {
    case Qt::Key_Right: return step(1);
    case Qt::Key_Left: return step(-1);
    case Qt::Key_Down: return board(1);
    case Qt::Key_Up: return board(-1);
    case Qt::Key_Home: return step(-static_cast<std::ptrdiff_t>(m_pieces.size()));
    case Qt::Key_End: return step(static_cast<std::ptrdiff_t>(m_pieces.size()));
    case Qt::Key_Return:
    case Qt::Key_Enter:
    case Qt::Key_Space:
        if (m_current) follow(*m_current);
        return;
    default: QWidget::keyPressEvent(event);
    }
}

void CuttingCanvas::focusInEvent(QFocusEvent* event) {
    if (!m_current && !m_pieces.empty() && event->reason() != Qt::MouseFocusReason) setCurrent(0, true);
    update();
}

void CuttingCanvas::focusOutEvent(QFocusEvent*) { update(); }

} // namespace spanwright::views
