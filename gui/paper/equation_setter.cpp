// SPDX-License-Identifier: MIT
#include <algorithm>

#include "gui/paper/block_setter.h"
#include "gui/paper/formula_pieces.h"

namespace spanwright::paper {

namespace {

constexpr qreal kSmallest = 0.78; ///< below this a formula is no longer read, and is broken into lines instead
constexpr qreal kPiece = 0.4;     ///< of a line: what is wider is taken apart

bool isEmpty(const meaning::Box& b) { return b.text.empty() && b.children.empty(); }

meaning::Box operatorBox(const std::string& text) { return {meaning::Box::Kind::Operator, text, {}}; }

Mark formulaMark(std::shared_ptr<const ink::BoxLayout> layout, QPointF topLeft, qreal scale) {
    const QRectF extent(topLeft, layout->size() * scale);
    return {Mark::Formula{std::move(layout), topLeft, scale}, extent};
}

} // namespace

Strips BlockSetter::set(const report::Equation& e, qreal width, qreal size) {
    Strips out;
    qreal relationAt = 0;
    for (const report::Equation::Line& line : e.lines) {
        Strips strips = step(line, width, size, relationAt);
        if (!out.empty() && !strips.empty()) strips.front().above = points(2.5);
        for (Strip& s : strips) out.push_back(std::move(s));
    }
    if (!out.empty()) out.front().above = points(3);
    // What a formula comes to does not stand alone on the next page.
    if (out.size() > 1) out[out.size() - 2].keepWithNext = true;
    return out;
}

Strips BlockSetter::step(const report::Equation::Line& line, qreal width, qreal size, qreal& relationAt) {
    const QFont& font = m_types.face(Voice::Plain, size).font;
    const qreal blank = points(size) * 0.3, inset = points(size) * 1.6;
    const bool led = !isEmpty(line.left);
    Strips out;
    qreal x = led ? 0 : relationAt;
    Strip s;
    qreal ascent = 0, descent = 0;
    std::vector<std::pair<Mark, qreal>> set; // with their own ascents, to stand on one base line
    const auto put = [&](std::shared_ptr<const ink::BoxLayout> layout, qreal scale) {
        const qreal up = layout->ascent() * scale, down = layout->size().height() * scale - up, wide = layout->size().width() * scale;
        set.emplace_back(formulaMark(std::move(layout), {x, 0}, scale), up);
        ascent = std::max(ascent, up);
        descent = std::max(descent, down);
        x += wide;
    };
    const auto finish = [&] {
        for (auto& [mark, up] : set) {
            mark.shift(0, ascent - up);
            s.marks.push_back(std::move(mark));
        }
        s.height = ascent + descent;
        if (!s.marks.empty()) out.push_back(std::move(s));
        s = {};
        set.clear();
        ascent = descent = 0;
    };
    // Neither a left side nor a sign stands alone at the foot of a page.
    const auto goOn = [&] {
        finish();
        if (!out.empty()) out.back().keepWithNext = true;
    };
    const auto inLines = [&](const meaning::Box& box, qreal at) {
        LineStyle style;
        style.size = size;
        style.hang = points(size) * 0.8;
        for (Strip& l : stripsOf(setLines(m_types, formulaPieces(box, font, (width - at) * kPiece), width - at, style), at, 0)) out.push_back(std::move(l));
    };
    if (led) {
        auto left = std::make_shared<ink::BoxLayout>(line.left, font, width);
        const qreal wide = left->size().width();
        if (wide > width && width / wide < kSmallest) {
            inLines(line.left, 0);
            goOn();
            x = inset;
        } else {
            put(std::move(left), std::min<qreal>(1, width / wide));
            // A long left side has the line to itself.
            if (x > width * 0.42) {
                if (isEmpty(line.right) && line.relation.empty()) {
                    finish();
                    return out;
                }
                goOn();
                x = inset;
            } else {
                x += blank;
            }
        }
        relationAt = x;
    }
    if (!line.relation.empty()) {
        put(std::make_shared<ink::BoxLayout>(operatorBox(line.relation), font), 1);
        x += blank;
    }
    if (isEmpty(line.right)) {
        finish();
        return out;
    }
    qreal left = x, space = width - left;
    // A long right side behind a long left one begins the next line, where it has more room.
    auto right = std::make_shared<ink::BoxLayout>(line.right, font, space);
    if (led && set.size() > 1 && left > inset * 1.5 && right->size().width() > space) {
        std::pair<Mark, qreal> sign = std::move(set.back());
        set.pop_back();
        goOn();
        sign.first.shift(inset - sign.first.extent.left(), 0);
        ascent = sign.second;
        descent = sign.first.extent.height() - sign.second;
        relationAt = inset;
        x = left = inset + sign.first.extent.width() + blank;
        space = width - left;
        set.push_back(std::move(sign));
        right = std::make_shared<ink::BoxLayout>(line.right, font, space);
    }
    const qreal wide = right->size().width();
    if (wide <= space) {
        put(std::move(right), 1);
        finish();
    } else if (space / wide >= kSmallest) {
        const qreal scale = space / wide;
        put(std::move(right), scale);
        finish();
    } else {
        goOn();
        inLines(line.right, std::min(left, width * 0.25));
    }
    return out;
}

} // namespace spanwright::paper
