// SPDX-License-Identifier: MIT
#pragma once

#include <optional>
#include <string>
#include <vector>

#include "engine/report/document.h"
#include "engine/report/facts.h"
#include "engine/shop/workshop.h"

namespace spanwright::report {

/// One of the members that are compared, each planned and priced for itself alone.
struct Alternative {
    std::string mark, purpose, sheet;
    job::Verdict verdict = job::Verdict::NotComputed;
    std::int64_t count = 1;
    std::string governing; ///< name of the governing check
    std::optional<double> utilisation;
    std::string deflectionCheck;           ///< the governing one of the checks whose name begins with `deflection`
    std::optional<double> deflection;      ///< m
    std::optional<double> deflectionShare; ///< of what is allowed
    std::optional<double> depth;           ///< m: the last size of the schedule's section
    std::string section;
    std::optional<double> mass;      ///< kg of one
    std::int64_t pieces = 0;         ///< of one
    double hours = 0.0;              ///< of one
    std::optional<shop::Cents> cost; ///< of all of them
    shop::Cents low = 0, high = 0;   ///< with all prices at that end of their ranges
    bool ranged = false;
    bool costProven = false;
    std::string currency;
    std::vector<std::string> reasons;
};
[[nodiscard]] Alternative alternativeOf(const job::Job& job, std::size_t member, shop::Workshop w);

/// Side by side, with the differences from the first.
[[nodiscard]] Document compareDocument(const JobFacts& f, const std::vector<Alternative>& list);
[[nodiscard]] std::string writeComparisonJson(const std::string& file, const std::vector<Alternative>& list);

} // namespace spanwright::report
