// SPDX-License-Identifier: MIT
#pragma once

#include <optional>
#include <string>
#include <vector>

#include "engine/shop/parts.h"
#include "engine/shop/working.h"

namespace spanwright::shop {

/// What one piece of a part weighs.
struct PartWeight {
    std::size_t part = 0;
    std::optional<double> mass; ///< kg of one; nothing: its density is not known
    Working working;
};

/// What one of a member weighs.
struct MemberWeight {
    std::size_t index = 0; ///< as the job counts members
    std::string mark;
    std::int64_t count = 1;
    bool known = false;           ///< every piece weighs something known
    double wood = 0.0;            ///< kg, of the pieces that are known
    double fastened = 0.0;        ///< kg of glue, screws and the like
    double mass = 0.0;            ///< kg: both
    std::optional<double> centre; ///< m from end A, if every piece states its place
    Working working, centreWorking;
};

/// Who carries a load, by a rule of common practice.
struct LiftAdvice {
    int people = 0;     ///< 1 to 3; 0: more than three can, so it is lifted by a machine
    double limit = 0.0; ///< kg: what so many lift together (of 0: what three lift)
    std::string words;  ///< "two people (2/3 of 2 x 25 kg = 33.3 kg)", "mechanical lift (three people lift 37.5 kg)"
    static const char* source();
};
[[nodiscard]] LiftAdvice adviseLift(double mass, double liftOfOne);

struct Weights {
    std::vector<PartWeight> parts; ///< one for each of Parts::parts
    std::vector<MemberWeight> members;
    bool known = true;
    double mass = 0.0;                   ///< kg, of the job: what is known
    std::optional<std::size_t> heaviest; ///< into `members`
    LiftAdvice lift;                     ///< of the heaviest
    std::vector<std::string> assumed;    ///< "moisture 12 %, as the tables' densities are"
    std::vector<diag::Diagnostic> problems;
};

/// Densities of tables are at 12 % moisture; at u they are taken times (1 + u)/1.12, sizes as stated.
[[nodiscard]] Weights weigh(const Parts& parts, const ShopRows& rows);

/// How much of a consumable a part's operation takes: SI, for one piece, losses left out.
[[nodiscard]] double amountFor(const ConsumableRow& c, double operation);
/// "35.2 kg".
[[nodiscard]] std::string kilograms(double mass);

} // namespace spanwright::shop
