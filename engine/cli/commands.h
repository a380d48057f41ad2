// SPDX-License-Identifier: MIT
#pragma once

#include "engine/cli/options.h"
#include "engine/cli/run.h"

/// One function and one file a command; each gives its exit status.
namespace spanwright::cli {

[[nodiscard]] int perform(const CheckOptions& o, const Surroundings& around);
[[nodiscard]] int perform(const WorkingOptions& o, const Surroundings& around);
[[nodiscard]] int perform(const SetOptions& o, const Surroundings& around);
[[nodiscard]] int perform(const ReportOptions& o, const Surroundings& around);
[[nodiscard]] int perform(const SheetsOptions& o, const Surroundings& around);
[[nodiscard]] int perform(const StartOptions& o, const Surroundings& around);
[[nodiscard]] int perform(const TidyOptions& o, const Surroundings& around);
[[nodiscard]] int perform(const TickOptions& o, const Surroundings& around);
[[nodiscard]] int perform(const VaryOptions& o, const Surroundings& around);
[[nodiscard]] int perform(const ReachOptions& o, const Surroundings& around);
[[nodiscard]] int perform(const WeighOptions& o, const Surroundings& around);
[[nodiscard]] int perform(const SureOptions& o, const Surroundings& around);
[[nodiscard]] int perform(const ExplainOptions& o, const Surroundings& around);
[[nodiscard]] int perform(const CutOptions& o, const Surroundings& around);
[[nodiscard]] int perform(const PriceOptions& o, const Surroundings& around);
[[nodiscard]] int perform(const CompareOptions& o, const Surroundings& around);
[[nodiscard]] int perform(const BenchOptions& o, const Surroundings& around);
[[nodiscard]] int perform(const JointsOptions& o, const Surroundings& around);

} // namespace spanwright::cli
