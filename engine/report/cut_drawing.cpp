// SPDX-License-Identifier: MIT
#include <algorithm>
#include <cmath>
#include <tuple>

#include "engine/base/text.h"
#include "engine/report/shop_pages.h"

namespace spanwright::report {

namespace {

using shop::CutPart;

constexpr double kWidth = 720.0;     // of the drawing of the board
constexpr double kBench = 430.0;     // the same with larger letters
constexpr double kTallest = 330.0;   // of a panel
constexpr double kLowest = 64.0;     // of a board: lower ones are drawn broader, and that is said
constexpr double kMargin = 18.0;     // for the numbers of cuts and the sizes
constexpr double kLetter = 0.56;     // width of a letter, in its size
constexpr double kFilletWidth = 2.0; // room between a text and the edge of its piece

/// Draws one board; y as on the drawing, downwards.
class Sawyer {
public:
    Sawyer(const shop::Workshop& w, const shop::GroupPlan& group, const shop::CutBoard& board, CutLook look)
        : m_w(w), m_group(group), m_board(board), m_bench(look == CutLook::Bench) {
        const CutFrame frame = cutFrame(group, board, look);
        m_scale = frame.across;
        m_times = std::round(frame.down / frame.across);
    }

    [[nodiscard]] Drawing draw() {
        m_out.width = static_cast<double>(m_board.size.width) * m_scale + 2 * kMargin;
        m_out.height = static_cast<double>(m_board.size.height) * down() + 2 * kMargin;
        const shop::StockRow& stock = m_w.rows.stock[m_board.stock];
        m_out.title = std::string(m_group.panels ? "panel " : "board ") + boardNumbers(m_board) + ", " + stock.name + ", to scale" +
                      (m_times > 1.0 ? ", breadths drawn " + std::to_string(static_cast<int>(m_times)) + " times" : "");
        box({0, 0, m_board.size.width, m_board.size.height}, false, Drawing::Ink::Full);
        for (const CutPart& p : m_board.tree) {
            if (p.kind == CutPart::Kind::Waste && p.box.width > 0 && p.box.height > 0) box(p.box, true, Drawing::Ink::Faint);
            if (p.kind == CutPart::Kind::Offcut) offcut(p.box);
        }
        const std::vector<std::size_t> order = benchOrder(m_board);
        for (std::size_t i = 0; i < order.size(); ++i) piece(m_board.pieces[order[i]], benchLetter(i));
        for (const CutPart& p : m_board.tree)
            if (p.kind == CutPart::Kind::Cut) cut(p);
        for (const shop::SlantedCut& s : m_board.slants) {
            line(at(s.from), at(s.to), Drawing::Dash::Long);
            number(s.order, {(at(s.from).x + at(s.to).x) / 2.0 + 3.0, (at(s.from).y + at(s.to).y) / 2.0});
        }
        if (m_times > 1.0)
            text({kMargin, m_out.height - 4.0}, "breadths drawn " + std::to_string(static_cast<int>(m_times)) + " times", Drawing::Text::Anchor::Start, 7.5);
        // End A, from which all places are measured.
        text({kMargin - 4.0, m_out.height / 2.0}, "A", Drawing::Text::Anchor::End, 10.0);
        return std::move(m_out);
    }

private:
    [[nodiscard]] double down() const { return m_scale * m_times; }
    [[nodiscard]] Drawing::Point at(shop::Spot s) const { return {kMargin + static_cast<double>(s.x) * m_scale, kMargin + static_cast<double>(s.y) * down()}; }

    void box(const shop::Box& b, bool hatched, Drawing::Ink ink) {
        const Drawing::Point p = at({b.x, b.y});
        m_out.shapes.emplace_back(Drawing::Rect{p.x, p.y, static_cast<double>(b.width) * m_scale, static_cast<double>(b.height) * down(), hatched, ink});
    }

    void line(Drawing::Point a, Drawing::Point b, Drawing::Dash dash) { m_out.shapes.emplace_back(Drawing::Polyline{{a, b}, Drawing::Ink::Full, dash, 0.8}); }

    void text(Drawing::Point p, std::string words, Drawing::Text::Anchor anchor, double size, double turned = 0.0) {
        m_out.shapes.emplace_back(Drawing::Text{p, std::move(words), anchor, Drawing::Ink::Full, size, turned});
    }

    void number(std::int32_t order, Drawing::Point p) { text(p, std::to_string(order), Drawing::Text::Anchor::Middle, 7.5); }

    void cut(const CutPart& p) {
        if (p.upright) {
            const Drawing::Point a = at({p.at, p.box.y}), b = at({p.at, p.box.y + p.box.height});
            line(a, b, Drawing::Dash::Solid);
            // Cuts through the whole breadth are numbered above the board, others at their head.
            const bool through = p.box.height >= m_board.size.height - 2 * m_board.size.trimY;
            number(p.order, through ? Drawing::Point{a.x, kMargin - 4.0} : Drawing::Point{a.x + 5.0, a.y + 8.0});
        } else {
            const Drawing::Point a = at({p.box.x, p.at}), b = at({p.box.x + p.box.width, p.at});
            line(a, b, Drawing::Dash::Solid);
            const bool through = p.box.width >= m_board.size.width - 2 * m_board.size.trimX;
            number(p.order, through ? Drawing::Point{b.x + kMargin / 2.0, b.y + 3.0} : Drawing::Point{a.x + 6.0, a.y - 2.0});
        }
    }

    void offcut(const shop::Box& b) {
        box(b, false, Drawing::Ink::Faint);
        fit(b, {"keep", shop::millimetres(shop::metresOf(b.width)) + " × " + shop::millimetres(shop::metresOf(b.height))});
    }

    void piece(const shop::CutPiece& p, const std::string& letter) {
        Drawing::Polyline outline;
        for (const shop::Spot& s : p.outline) outline.points.push_back(at(s));
        if (!outline.points.empty()) outline.points.push_back(outline.points.front());
        outline.width = 1.4;
        m_out.shapes.emplace_back(std::move(outline));
        const shop::Part& part = m_w.parts.parts[p.part];
        const job::PieceView& v = part.view;
        const std::string size =
            shop::millimetres(v.length) + " × " + shop::millimetres(v.breadth) + (v.breadth == v.breadthEnd ? "" : "/" + shop::millimetres(v.breadthEnd));
        if (m_bench)
            fit(p.box, {letter + "  " + part.label, size, letter + "  " + part.mark, letter});
        else
            fit(p.box, {part.label, size, part.mark});
    }

    /// As many of the lines as there is room for; the first that fits in one line if there is room for no more. Upright boxes
    /// are written upwards.
    void fit(const shop::Box& b, const std::vector<std::string>& lines) {
        double width = static_cast<double>(b.width) * m_scale - 2 * kFilletWidth, height = static_cast<double>(b.height) * down() - 1.0;
        const Drawing::Point c = at({b.x + b.width / 2, b.y + b.height / 2});
        const bool upwards = height > width * 1.5;
        if (upwards) std::swap(width, height);
        for (const double size : {10.0, 8.0, 6.5}) {
            const auto wide = [&](const std::string& s) { return static_cast<double>(base::utf8Count(s)) * size * kLetter; };
            if (height >= 2.4 * size && lines.size() > 1 && wide(lines[0]) <= width && wide(lines[1]) <= width) {
                put(c, lines[0], size, -0.15 * size, upwards);
                put(c, lines[1], size, 1.05 * size, upwards);
                return;
            }
        }
        for (const std::string& l : lines) {
            // A size without a name would name no part.
            if (m_bench && lines.size() > 2 && &l == &lines[1]) continue;
            for (const double size : {10.0, 8.0, 6.5, 5.0}) {
                if (height < size * 0.95 || static_cast<double>(base::utf8Count(l)) * size * kLetter > width) continue;
                put(c, l, size, 0.35 * size, upwards);
                return;
            }
        }
    }

    void put(Drawing::Point c, const std::string& words, double size, double down, bool upwards) {
        if (upwards)
            text({c.x + down, c.y}, words, Drawing::Text::Anchor::Middle, size, 90.0);
        else
            text({c.x, c.y + down}, words, Drawing::Text::Anchor::Middle, size);
    }

    const shop::Workshop& m_w;
    const shop::GroupPlan& m_group;
    const shop::CutBoard& m_board;
    bool m_bench;
    double m_scale = 1.0, m_times = 1.0;
    Drawing m_out;
};

} // namespace

CutFrame cutFrame(const shop::GroupPlan& group, const shop::CutBoard& board, CutLook look) {
    const double width = look == CutLook::Bench ? kBench : kWidth;
    const double scale = std::min(width / static_cast<double>(board.size.width), kTallest / static_cast<double>(board.size.height));
    const double low = static_cast<double>(board.size.height) * scale;
    const double times = !group.panels && low < kLowest ? std::max(1.0, std::round(kLowest / low)) : 1.0;
    return {kMargin, kMargin, scale, scale * times};
}

Drawing cutDrawing(const shop::Workshop& w, const shop::GroupPlan& group, const shop::CutBoard& board, CutLook look) {
    return Sawyer(w, group, board, look).draw();
}

std::vector<std::size_t> benchOrder(const shop::CutBoard& board) {
    std::vector<std::size_t> order(board.pieces.size());
    for (std::size_t i = 0; i < order.size(); ++i) order[i] = i;
    std::stable_sort(order.begin(), order.end(), [&](std::size_t a, std::size_t b) {
        const shop::Box &x = board.pieces[a].box, &y = board.pieces[b].box;
        return std::tie(x.y, x.x) < std::tie(y.y, y.x);
    });
    return order;
}

std::string benchLetter(std::size_t place) {
    std::string out;
    for (std::size_t n = place + 1; n > 0; n = (n - 1) / 26) out.insert(out.begin(), static_cast<char>('a' + (n - 1) % 26));
    return out;
}

std::string boardNumbers(const shop::CutBoard& board) {
    if (board.times == 1) return std::to_string(board.number);
    return std::to_string(board.number) + " to " + std::to_string(board.number + board.times - 1);
}

} // namespace spanwright::report
