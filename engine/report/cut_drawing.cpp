// SPDX-License-Identifier: MIT
#include <algorithm>
#include <cmath>
#include <iterator>
#include <string_view>
#include <tuple>
#include <utility>

#include "engine/base/text.h"
#include "engine/report/shop_pages.h"

namespace spanwright::report {

namespace {

using shop::CutPart;

constexpr double kWidth = 540.0;     // of the drawing of the board
constexpr double kBench = 430.0;     // the same with larger letters
constexpr double kTallest = 330.0;   // of a panel
constexpr double kLowest = 64.0;     // of a board: lower ones are drawn broader, and that is said
constexpr double kMargin = 18.0;     // for the numbers of cuts and the sizes
constexpr double kLetter = 0.56;     // width of a letter, in its size
constexpr double kFilletWidth = 2.0; // room between a text and the edge of its piece
constexpr double kPitch = 1.18;      // of lines, in the size of their letters
constexpr std::size_t kMostLines = 4;
/// Letters, so that none is smaller than 6.5 points on paper: a panel is printed smaller than a board, a bench page may be.
constexpr double kBoardLetters[] = {11.0, 10.0, 9.0}, kPanelLetters[] = {13.0, 12.0, 11.0}, kBenchLetters[] = {11.0, 10.0, 9.2};

/// Draws one board; y as on the drawing, downwards.
class Sawyer {
public:
    Sawyer(const shop::Workshop& w, const shop::GroupPlan& group, const shop::CutBoard& board, CutLook look)
        : m_w(w), m_group(group), m_board(board), m_bench(look == CutLook::Bench) {
        const CutFrame frame = cutFrame(group, board, look);
        m_scale = frame.across;
        m_times = std::round(frame.down / frame.across);
        const auto& letters = m_bench ? kBenchLetters : group.panels ? kPanelLetters : kBoardLetters;
        m_letters.assign(std::begin(letters), std::end(letters));
    }

    [[nodiscard]] Drawing draw() {
        m_out.width = static_cast<double>(m_board.size.width) * m_scale + 2 * kMargin;
        m_out.height = static_cast<double>(m_board.size.height) * down() + 2 * kMargin;
        const shop::StockRow& stock = m_w.rows.stock[m_board.stock];
        m_out.title = std::string(m_group.panels ? "panel " : "board ") + boardNumbers(m_board) + ", " + stock.name + ", to scale" +
                      (m_times > 1.0 ? ", breadths drawn " + std::to_string(static_cast<int>(m_times)) + " times" : "");
        box({0, 0, m_board.size.width, m_board.size.height}, false, Drawing::Ink::Full);
        // Numbers of cuts have their places; what stands on pieces keeps clear of them.
        for (const CutPart& p : m_board.tree)
            if (p.kind == CutPart::Kind::Cut) number(p.order, numberOf(p));
        for (const shop::SlantedCut& c : m_board.slants) number(c.order, {(at(c.from).x + at(c.to).x) / 2.0 + 3.0, (at(c.from).y + at(c.to).y) / 2.0});
        for (const CutPart& p : m_board.tree) {
            if (p.kind == CutPart::Kind::Waste && p.box.width > 0 && p.box.height > 0) box(p.box, true, Drawing::Ink::Faint);
            if (p.kind == CutPart::Kind::Offcut) offcut(p.box);
        }
        const std::vector<std::size_t> order = benchOrder(m_board);
        for (std::size_t i = 0; i < order.size(); ++i) piece(m_board.pieces[order[i]], benchLetter(i));
        for (const CutPart& p : m_board.tree)
            if (p.kind == CutPart::Kind::Cut) cut(p);
        for (const shop::SlantedCut& c : m_board.slants) line(at(c.from), at(c.to), Drawing::Dash::Long);
        for (Drawing::Text& t : m_numberTexts) m_out.shapes.emplace_back(std::move(t));
        if (m_times > 1.0)
            text({kMargin, m_out.height - 4.0}, "breadths drawn " + std::to_string(static_cast<int>(m_times)) + " times", Drawing::Text::Anchor::Start,
                 least());
        // End A, from which all places are measured.
        text({kMargin - 4.0, m_out.height / 2.0}, "A", Drawing::Text::Anchor::End, m_letters.front());
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

    [[nodiscard]] double least() const { return m_letters.back(); }

    void number(std::int32_t order, Drawing::Point p) {
        const std::string words = std::to_string(order);
        const double half = static_cast<double>(words.size()) * least() * kLetter / 2.0 + 1.0;
        m_numbers.push_back({p.x - half, p.y - least() * 0.8, p.x + half, p.y + 1.0});
        m_numberTexts.push_back({p, words, Drawing::Text::Anchor::Middle, Drawing::Ink::Full, least(), 0.0});
    }

    /// Where the number of a cut stands: those of cuts through the whole board outside it, others at the head of the cut.
    [[nodiscard]] Drawing::Point numberOf(const CutPart& p) const {
        const double wide = static_cast<double>(std::to_string(p.order).size()) * least() * kLetter / 2.0 + 2.0;
        if (p.upright) {
            const Drawing::Point a = at({p.at, p.box.y});
            const bool through = p.box.height >= m_board.size.height - 2 * m_board.size.trimY;
            return through ? Drawing::Point{a.x, kMargin - 4.0} : Drawing::Point{a.x + wide, a.y + least() + 0.5};
        }
        const Drawing::Point a = at({p.box.x, p.at}), b = at({p.box.x + p.box.width, p.at});
        const bool through = p.box.width >= m_board.size.width - 2 * m_board.size.trimX;
        return through ? Drawing::Point{b.x + kMargin / 2.0, b.y + 3.0} : Drawing::Point{a.x + wide, a.y - 2.0};
    }

    void cut(const CutPart& p) {
        if (p.upright)
            line(at({p.at, p.box.y}), at({p.at, p.box.y + p.box.height}), Drawing::Dash::Solid);
        else
            line(at({p.box.x, p.at}), at({p.box.x + p.box.width, p.at}), Drawing::Dash::Solid);
    }

    void offcut(const shop::Box& b) {
        box(b, false, Drawing::Ink::Faint);
        const std::string size = shop::millimetres(shop::metresOf(b.width)) + " × " + shop::millimetres(shop::metresOf(b.height));
        fit(b, {{"keep", size}, {"keep"}});
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
        // On the bench the letter leads to a list below it: it alone is easier to read than a name in pieces.
        if (m_bench)
            fit(p.box, {{letter + " " + part.label, size}, {letter + " " + part.mark}, {letter}}, false);
        else
            fit(p.box, {{part.label, size}, {part.mark, size}, {part.label}, {part.mark}});
    }

    /// Lines that are no wider than that: each of the parts begins one, and is broken between words, a size behind its sign.
    static std::vector<std::string> broken(const std::vector<std::string>& parts, double letters) {
        std::vector<std::string> out;
        for (const std::string& part : parts) {
            std::string line;
            for (std::size_t from = 0; from < part.size();) {
                std::size_t end = std::min(part.find(' ', from), part.size());
                constexpr std::string_view kTimes = " ×";
                if (part.compare(end, kTimes.size(), kTimes) == 0) end += kTimes.size();
                const std::string word = part.substr(from, end - from);
                if (!line.empty() && static_cast<double>(base::utf8Count(line + " " + word)) > letters) out.push_back(std::exchange(line, {}));
                line += (line.empty() ? "" : " ") + word;
                from = end + 1;
            }
            if (!line.empty()) out.push_back(std::move(line));
        }
        return out;
    }

    /// Writes the first of what may be said that can be read in a box, in the largest letters; in an upright box perhaps upwards.
    void fit(const shop::Box& b, const std::vector<std::vector<std::string>>& choices, bool breaks = true) {
        const double width = static_cast<double>(b.width) * m_scale, height = static_cast<double>(b.height) * down();
        const Drawing::Point c = at({b.x + b.width / 2, b.y + b.height / 2});
        for (const auto& parts : choices)
            for (const bool upwards : {false, true})
                for (const double size : m_letters) {
                    if (upwards && height <= width) continue;
                    const double along = (upwards ? height : width) - 2 * kFilletWidth, across = (upwards ? width : height) - 1.0;
                    if (put(c, breaks ? broken(parts, along / (size * kLetter)) : parts, size, along, across, upwards)) return;
                }
    }

    bool put(Drawing::Point c, const std::vector<std::string>& lines, double size, double along, double across, bool upwards) {
        const auto n = static_cast<double>(lines.size());
        if (lines.size() > kMostLines || n * kPitch * size > across) return false;
        std::vector<Drawing::Text> set;
        for (std::size_t i = 0; i < lines.size(); ++i) {
            const double wide = static_cast<double>(base::utf8Count(lines[i])) * size * kLetter;
            const double middle = (static_cast<double>(i) - (n - 1.0) / 2.0) * kPitch * size, base = middle + 0.35 * size;
            if (wide > along) return false;
            const double x = upwards ? c.x + middle : c.x, y = upwards ? c.y : c.y + middle;
            const double halfX = (upwards ? size : wide) / 2.0, halfY = (upwards ? wide : size) / 2.0;
            const bool meets = std::any_of(m_numbers.begin(), m_numbers.end(), [&](const Place& p) {
                return p.left < x + halfX && p.right > x - halfX && p.top < y + halfY && p.bottom > y - halfY;
            });
            if (meets) return false;
            const Drawing::Point foot = upwards ? Drawing::Point{c.x + base, c.y} : Drawing::Point{c.x, c.y + base};
            set.push_back({foot, lines[i], Drawing::Text::Anchor::Middle, Drawing::Ink::Full, size, upwards ? 90.0 : 0.0});
        }
        for (Drawing::Text& t : set) m_out.shapes.emplace_back(std::move(t));
        return true;
    }

    struct Place {
        double left, top, right, bottom;
    };

    const shop::Workshop& m_w;
    const shop::GroupPlan& m_group;
    const shop::CutBoard& m_board;
    bool m_bench;
    double m_scale = 1.0, m_times = 1.0;
    std::vector<double> m_letters; ///< sizes of letters, the largest first
    std::vector<Place> m_numbers;  ///< of cuts
    std::vector<Drawing::Text> m_numberTexts;
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
