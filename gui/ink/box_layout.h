// SPDX-License-Identifier: MIT
#pragma once

#include <QColor>
#include <QFont>
#include <QPointF>
#include <QSizeF>
#include <QString>

#include <vector>

#include "engine/meaning/typeset.h"

class QPainter;

namespace spanwright::ink {

/// A formula set in two dimensions, measured once and drawn as often as wanted. Words and units stand upright, names
/// in a serif italic; sizes follow the font given.
class BoxLayout {
public:
    BoxLayout() = default;
    /// With `widest` above zero, a row that is longer goes on in the next line behind an operator.
    BoxLayout(const meaning::Box& box, const QFont& font, qreal widest = 0);
    [[nodiscard]] QSizeF size() const { return {m_width, m_ascent + m_descent}; }
    /// From the top to the base line of the first line.
    [[nodiscard]] qreal ascent() const { return m_ascent; }
    /// `soft` is for what is said but does not count, such as a branch not taken.
    void draw(QPainter& painter, QPointF topLeft, const QColor& ink, const QColor& soft) const;

    /// What is drawn, relative to the base line's left end.
    struct Ink {
        enum class Sort : char { Text, Line, Path } sort = Sort::Text;
        QFont font;
        QString text;
        std::vector<QPointF> points; ///< Text: the base line's start
        qreal width = 1;             ///< of a pen
        bool soft = false;
    };

private:
    std::vector<Ink> m_inks;
    qreal m_width = 0, m_ascent = 0, m_descent = 0;
};

} // namespace spanwright::ink
