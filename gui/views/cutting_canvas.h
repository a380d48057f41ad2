// SPDX-License-Identifier: MIT
#pragma once

#include <QPolygonF>
#include <QWidget>

#include <memory>
#include <optional>
#include <string>
#include <vector>

#include "engine/report/drawing.h"
#include "engine/shop/workshop.h"

namespace spanwright::views {

/// All boards and panels as they are cut, one below the other under the head of their material. Every piece can be pointed at, reached by
/// arrow keys and followed to its member; those of one member are marked by a thick line.
class CuttingCanvas : public QWidget {
    Q_OBJECT

public:
    /// A material with its boards as they are known now.
    struct Group {
        std::shared_ptr<const shop::Workshop> of; ///< that labels and stock are of
        shop::GroupPlan plan;
        QString words;    ///< "14 boards so far; at least 13 are needed"
        bool old = false; ///< of the job as it stood before an edit
    };
    struct PieceAt {
        std::string mark, name; ///< member and piece row
        std::string file;       ///< of the sheet that the row stands in
        std::uint32_t row = 0;
        QString words; ///< "J1 joist, 3715 x 47 x 195 mm, on board 4"
    };

    explicit CuttingCanvas(QWidget* parent = nullptr);
    void setGroups(std::vector<Group> groups);
    void setMember(const std::string& mark);
    /// What is seen of it, so that a panel is never higher than that.
    void setRoom(int height);
    [[nodiscard]] std::size_t pieceCount() const { return m_pieces.size(); }
    [[nodiscard]] std::size_t drawings() const { return m_boards.size(); }
    [[nodiscard]] const PieceAt& piece(std::size_t i) const { return m_pieces[i].at; }
    [[nodiscard]] QPoint middleOf(std::size_t piece) const;
    [[nodiscard]] std::optional<std::size_t> current() const { return m_current; }
    /// Pieces of the member that is marked.
    [[nodiscard]] std::size_t marked() const;
    [[nodiscard]] bool hasHeightForWidth() const override { return true; }
    [[nodiscard]] int heightForWidth(int width) const override;
    [[nodiscard]] QSize sizeHint() const override;

Q_SIGNALS:
    void followed(const spanwright::views::CuttingCanvas::PieceAt& piece);
    /// Something should be in sight.
    void wanted(const QRect& place);

protected:
    void paintEvent(QPaintEvent* event) override;
    void resizeEvent(QResizeEvent* event) override;
    void changeEvent(QEvent* event) override;
    void mousePressEvent(QMouseEvent* event) override;
    void mouseMoveEvent(QMouseEvent* event) override;
    void keyPressEvent(QKeyEvent* event) override;
    void focusInEvent(QFocusEvent* event) override;
    void focusOutEvent(QFocusEvent* event) override;
    bool event(QEvent* event) override;

private:
    struct Board {
        std::size_t group = 0;
        report::Drawing drawing;
        QString caption;
        std::vector<QPolygonF> outlines; ///< of its pieces, in the drawing's units
        std::size_t firstPiece = 0;
        bool none = false; ///< the head of a material of which nothing is cut
    };
    struct Piece {
        std::size_t board = 0;
        PieceAt at;
    };
    struct Place {
        QRectF head, drawing; ///< head: of the group, before its first board
        QRectF caption;
        double scale = 1;
    };
    void lay(int width, std::vector<Place>& places, int& height) const;
    void relay();
    [[nodiscard]] QPolygonF outline(std::size_t piece) const;
    [[nodiscard]] std::optional<std::size_t> pieceAt(QPointF at) const;
    void setCurrent(std::optional<std::size_t> piece, bool seen);
    void follow(std::size_t piece);

    std::vector<Group> m_groups;
    std::vector<Board> m_boards;
    std::vector<Piece> m_pieces;
    std::vector<Place> m_places;
    std::string m_member;
    std::optional<std::size_t> m_current;
    int m_room = 400;
    int m_height = 0;
};

} // namespace spanwright::views
