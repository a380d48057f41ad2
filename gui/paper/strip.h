// SPDX-License-Identifier: MIT
#pragma once

#include <QFont>
#include <QPointF>
#include <QRectF>
#include <QString>

#include <memory>
#include <string>
#include <variant>
#include <vector>

#include "engine/report/drawing.h"
#include "gui/ink/box_layout.h"
#include "gui/ink/stamp.h"

class QPainter;

namespace spanwright::paper {

/// Something set, ready to be painted: nothing is measured any more.
struct Mark {
    struct Text {
        QFont font;
        QString text;
        QPointF base; ///< left end of the base line
        bool faint = false;
    };
    struct Line {
        QPointF from, to;
        qreal width = 1;
        enum class Stroke : char { Solid, Dotted } stroke = Stroke::Solid;
        bool faint = false;
    };
    struct Formula {
        std::shared_ptr<const ink::BoxLayout> layout;
        QPointF topLeft;
        qreal scale = 1;
    };
    struct Stamp {
        QFont font;
        QString word;
        ink::Stamp stamp = ink::Stamp::None;
        QRectF place;
    };
    struct Figure {
        std::shared_ptr<const report::Drawing> drawing;
        QPointF topLeft;
        qreal scale = 1;
        bool turned = false; ///< read from the right: a wide drawing along the page
    };
    /// The number of the page on which an id stands, known only when all pages are.
    struct PageNumber {
        QFont font;
        std::string target;
        QPointF base; ///< right end of the base line
    };
    std::variant<Text, Line, Formula, Stamp, Figure, PageNumber> is;
    QRectF extent;           ///< all that it covers
    std::string target = {}; ///< it leads to this id; empty: nowhere

    void shift(qreal dx, qreal dy);
};

/// Looks up the page of an id: 1 is the first; 0 where there is none.
using PageOf = int (*)(const void* pages, const std::string& id);

/// A strip across the body that is never broken. Marks are relative to its top left corner.
struct Strip {
    qreal above = 0; ///< free space before it, except at the top of a page
    qreal height = 0;
    std::vector<Mark> marks;
    bool keepWithNext = false;
    std::vector<std::string> ids;      ///< whoever is led to one of these comes here
    std::shared_ptr<const Strip> head; ///< set again above it where it begins a page
    bool isHead = false;
    qreal least = 1;     ///< how much smaller its drawings may be made where little room is left; 1: not at all
    bool leads = false;  ///< a section's or member's heading: more than a line or two stays with it
    bool floats = false; ///< what follows may come before it where it does not fit
    int depth = -1;      ///< of a heading: how deep it stands among the bookmarks; -1: it is none
    QString bookmark;
};
using Strips = std::vector<Strip>;

[[nodiscard]] qreal heightOf(const Strips& strips);
void shift(Strips& strips, qreal dx);
/// One strip of several, as they stand below one another.
[[nodiscard]] Strip joined(Strips strips);
/// A strip with its drawings made smaller, and what stands below them moved up.
[[nodiscard]] Strip shrunk(Strip strip, qreal by);
/// All but the last stay with what follows them.
void keepTogether(Strips& strips);

void paint(QPainter& painter, const Mark& mark, PageOf pageOf, const void* pages);

} // namespace spanwright::paper
