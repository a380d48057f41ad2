// SPDX-License-Identifier: MIT
#pragma once

#include <functional>
#include <memory>
#include <optional>
#include <string>
#include <vector>

#include "engine/shop/bill.h"
#include "engine/shop/cut_plan.h"
#include "engine/shop/weights.h"

namespace spanwright::shop {

/// How to work a job out for the workshop.
struct WorkshopOptions {
    PlanOptions plan;
    std::optional<PriceFile> prices; ///< in place of the file that the job names
    std::vector<std::size_t> only;   ///< just these members, alternatives too; empty: all that are built
    /// Told once, before anything is planned, with rows, parts, masses and a schedule without costs: so that plans on the way
    /// (`plan.better`) can be drawn.
    std::function<void(const struct Workshop& soFar)> prepared;
};

/// All that the workshop makes of a job: plain data, copied out of it. It can be made on a thread of its own as long as
/// nobody else uses the job meanwhile; what is shown needs nothing but this.
struct Workshop {
    ShopRows rows;
    Parts parts;
    CutPlan plan;
    Weights weights;
    Bill bill;
    std::vector<diag::Diagnostic> problems; ///< all that is wrong, sorted, each once
    /// Members of the job in the order of the job, with what is known of each: for schedules.
    struct Row {
        std::size_t index = 0;
        std::string mark, insteadOf;
        std::optional<double> mass; ///< kg of one
        std::optional<Cents> cents; ///< of all of them
        Cents low = 0, high = 0;    ///< with all prices at that end of their ranges
        bool proven = false;        ///< the money
    };
    std::vector<Row> schedule;
    [[nodiscard]] bool hasErrors() const;
    /// 0 all is cut and priced and proven, 1 something could not be read or planned, 3 the total is not proven.
    [[nodiscard]] int cutStatus() const;
    [[nodiscard]] int priceStatus() const;
};

[[nodiscard]] Workshop work(const job::Job& job, const WorkshopOptions& options = {});

/// True if the job says anything of its workshop: then a report has pages on it.
[[nodiscard]] bool hasWorkshop(const job::Job& job);

} // namespace spanwright::shop
