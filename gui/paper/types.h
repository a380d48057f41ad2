// SPDX-License-Identifier: MIT
#pragma once

#include <QFont>
#include <QHash>
#include <QString>

#include <map>
#include <tuple>

#include "gui/ink/palette.h"

namespace spanwright::paper {

/// How a stretch of words is said.
enum class Voice : char { Plain, Strong, Faint, Code };

/// Black on white, with grey for what is beside the point.
[[nodiscard]] const ink::Palette& printPalette();
/// Family and weight, without a size.
[[nodiscard]] QFont baseFont(Voice voice);

/// The fonts of one document and what was measured with them.
class Types {
public:
    struct Face {
        QFont font;
        qreal ascent = 0, descent = 0, blank = 0;
        QHash<QString, qreal> widths;
        [[nodiscard]] qreal width(const QString& word);
    };
    /// `size` in points.
    [[nodiscard]] Face& face(Voice voice, qreal size, bool italic = false);

private:
    std::map<std::tuple<Voice, int, bool>, Face> m_faces;
};

} // namespace spanwright::paper
