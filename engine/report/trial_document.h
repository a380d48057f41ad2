// SPDX-License-Identifier: MIT
#pragma once

#include <string>
#include <vector>

#include "engine/report/document.h"
#include "engine/trial/mends.h"
#include "engine/trial/reach.h"
#include "engine/trial/tolerance.h"
#include "engine/trial/vary.h"
#include "engine/trial/weigh.h"

/// Trials as documents, drawings and bytes.
namespace spanwright::report {

/// A table a handbook might print: rows along the first values, columns along the last one where there are several
/// and one number is looked at; else a line a point.
[[nodiscard]] Document varyDocument(const trial::VaryTable& t);
/// The same, always a line a point.
[[nodiscard]] Table varyTable(const trial::VaryTable& t);
/// The document's table of it has the same rows, columns and numbers as the field, and each verdict in words.
[[nodiscard]] bool isFieldTable(const trial::VaryTable& t);
/// Over a numeric axis: the greatest utilisation or what is shown, the stretches that do not pass hatched, the
/// places where that changes named. Where several values vary each combination of the others is a curve.
[[nodiscard]] Drawing varyDrawing(const trial::VaryTable& t);
/// Two numeric or chosen axes as a field of boxes: what does not pass is hatched, what was not computed crossed, and in each
/// box stands the greatest utilisation or what is shown. Empty for other tables.
[[nodiscard]] Drawing varyField(const trial::VaryTable& t);
/// A line a point; numbers in the units of the heads, in full.
[[nodiscard]] std::string writeVaryCsv(const trial::VaryTable& t);
[[nodiscard]] std::string writeVaryJson(const trial::VaryTable& t);

[[nodiscard]] Document reachDocument(const trial::Reach& r);
[[nodiscard]] std::string writeReachJson(const trial::Reach& r);

/// How far one value can go to either side, and what ends it; of a choice which rows pass.
[[nodiscard]] Document farDocument(const trial::Far& f);
/// The same as a bar: what does not pass is hatched, the present value is marked. Nothing is drawn of a choice.
[[nodiscard]] Drawing farDrawing(const trial::Far& f);

/// The values that a quantity depends on, the heaviest first.
[[nodiscard]] Document weightsDocument(const trial::Weights& w);
/// The same as bars: hatched ones lower the quantity, open ones raise it.
[[nodiscard]] Drawing weightsDrawing(const trial::Weights& w);
[[nodiscard]] std::string writeWeightsJson(const trial::Weights& w);

/// Members under tolerances, each with its spreads, worst cases and distributions.
[[nodiscard]] Document toleranceDocument(const std::vector<trial::Tolerance>& list);
/// "no failure at 82 places; no proof", "proved: never above 0.49".
[[nodiscard]] std::string toleranceVerdict(const trial::CheckTolerance& c);
/// A part of a number of samples in per cent: "12.5 %".
[[nodiscard]] std::string shareText(std::size_t part, std::size_t whole);
/// The distribution of one check's utilisation, with what fails hatched.
[[nodiscard]] Drawing toleranceDrawing(const trial::Tolerance& t, const trial::CheckTolerance& c);
[[nodiscard]] std::string writeToleranceJson(const std::vector<trial::Tolerance>& list);

/// What would make a member pass, a line a change.
[[nodiscard]] Bullets mendsList(const trial::Mends& m);

/// "J1: b, h" as one name for people: the mark only where there are several members.
[[nodiscard]] std::string trialName(const trial::ValueName& name, bool several);

} // namespace spanwright::report
