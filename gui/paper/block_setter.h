// SPDX-License-Identifier: MIT
#pragma once

#include "engine/report/document.h"
#include "gui/paper/line_setter.h"
#include "gui/paper/page_format.h"

namespace spanwright::paper {

/// Turns blocks of a document into strips of a given width. Nothing set is wider than that.
class BlockSetter {
public:
    BlockSetter(Types& types, const PageFormat& format) : m_types(types), m_format(format) {}
    /// All of a section, from the body's left edge.
    [[nodiscard]] Strips section(const report::Section& s, qreal enlarged);
    [[nodiscard]] Strips section(const report::Section& s) { return section(s, m_format.enlarged()); }
    /// The share of a page up to which lines of a calculation stay whole.
    static constexpr qreal kWholeLines = 0.25;
    void keepWhole(qreal share) { m_wholeLines = share; }

private:
    Types& m_types;
    const PageFormat& m_format;
    bool m_contents = false; ///< links lead to page numbers
    qreal m_wholeLines = kWholeLines;
    qreal m_enlarged = 1; ///< how much larger than usual letters are, in this section
    int m_below = 0;      ///< how deep a heading of level 2 stands among the bookmarks

    [[nodiscard]] qreal bodySize() const;
    [[nodiscard]] qreal room() const { return m_format.body().height(); }
    [[nodiscard]] Strips blocks(const std::vector<report::Block>& list, qreal width, qreal size);
    [[nodiscard]] Strips set(const report::Heading& h, qreal width, qreal size);
    [[nodiscard]] Strips set(const report::Paragraph& p, qreal width, qreal size);
    [[nodiscard]] Strips set(const report::Bullets& b, qreal width, qreal size);
    [[nodiscard]] Strips set(const report::Table& t, qreal width, qreal size);
    [[nodiscard]] Strips set(const report::Equation& e, qreal width, qreal size);
    [[nodiscard]] Strips set(const report::CalcLine& c, qreal width, qreal size);
    [[nodiscard]] Strips set(const report::Framed& f, qreal width, qreal size);
    [[nodiscard]] Strips set(const report::Figure& f, qreal width, qreal size);

    /// How a drawing is shown in a width.
    struct Drawn {
        qreal scale = 0; ///< 0: there is none
        QSizeF size = {};
        bool turned = false;
    };
    [[nodiscard]] Drawn drawn(const report::Drawing& d, qreal width) const;
    [[nodiscard]] qreal leastOf(qreal scale) const;
    /// Two drawings beside one another; nothing where they would be too small to read.
    [[nodiscard]] Strips pair(const report::Figure& left, const report::Figure& right, qreal width, qreal size);
    void items(Strips& out, const std::vector<report::Bullets::Item>& list, qreal x, qreal width, qreal size, int depth);
    [[nodiscard]] Strips calcRow(const report::CalcLine& c, qreal width);
    [[nodiscard]] Strips step(const report::Equation::Line& line, qreal width, qreal size, qreal& relationAt);
    /// A table one of whose columns stands below each row; empty where that cannot be done.
    [[nodiscard]] Strips withWordsBelow(report::Table t, std::size_t column, qreal width, qreal size);
    /// Rows of a table whose cells are boxes with room in them.
    [[nodiscard]] Strips boxes(const report::Table& t, qreal width, const LineStyle& head, const LineStyle& cell);
    /// A row of a table that is taller than a page, as lines.
    [[nodiscard]] Strips spilled(const report::Table& t, const std::vector<report::Inlines>& row, qreal width, qreal size);
};

/// A line across, for frames and rules.
[[nodiscard]] Mark ruleMark(QPointF from, QPointF to, qreal width, bool faint);

} // namespace spanwright::paper
