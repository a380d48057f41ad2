// SPDX-License-Identifier: MIT
#pragma once

#include <QString>

#include <string>
#include <string_view>

namespace spanwright::models {

/// The engine speaks UTF-8, Qt UTF-16.
[[nodiscard]] inline QString fromUtf8(std::string_view text) { return QString::fromUtf8(text.data(), static_cast<qsizetype>(text.size())); }
[[nodiscard]] inline std::string toUtf8(const QString& text) { return text.toStdString(); }

} // namespace spanwright::models
