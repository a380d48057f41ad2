// SPDX-License-Identifier: MIT
#pragma once

#include <QFont>

#include "engine/report/document.h"

namespace spanwright::paper {

/// A formula too long for a line, typeset in pieces between which a line may be broken: behind operators and commas, at first
/// outside of brackets that fit. No piece is wider than `widest` if it can be taken apart; what was a fraction, a root or cases
/// then stands in one line, as in the sheets.
[[nodiscard]] report::Inlines formulaPieces(const meaning::Box& box, const QFont& font, qreal widest);

} // namespace spanwright::paper
