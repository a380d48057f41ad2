// SPDX-License-Identifier: MIT
#pragma once

#include <QString>

namespace spanwright::models {

/// A text that may hold whatever was pasted, as much of it as a message has room for: its beginning and its end.
[[nodiscard]] inline QString shortened(const QString& text, qsizetype most = 600) {
    if (text.size() <= most) return text;
    const qsizetype end = most / 4;
    return text.left(most - end) + QStringLiteral(" ... ") + text.right(end);
}

} // namespace spanwright::models
