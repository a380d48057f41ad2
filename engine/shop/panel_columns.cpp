// SPDX-License-Identifier: MIT
#include "engine/shop/panel_columns.h"

#include <algorithm>
#include <cmath>

#include "engine/shop/covering_lp.h"
#include "engine/shop/guillotine_table.h"
#include "engine/shop/wide.h"

namespace spanwright::shop {

namespace {

constexpr double kScale = 1073741824.0; ///< worths are whole multiples of 1/2^30 panel

std::vector<Rectangle> piecesOf(const PanelCore& core) {
    std::vector<Rectangle> pieces;
    for (const Block& b : core.blocks) pieces.push_back({b.width, b.height, b.count, b.mayTurn});
    return pieces;
}

std::vector<double> demandOf(const PanelCore& core) {
    std::vector<double> demand;
    for (const Block& b : core.blocks) demand.push_back(static_cast<double>(b.count));
    return demand;
}

} // namespace

struct GuillotineRelaxation::Impl {
    explicit Impl(const PanelCore& core) : bin(core.bins[0]), pieces(piecesOf(core)), lp(demandOf(core)) {
        for (std::size_t i = 0; i < pieces.size(); ++i) {
            std::vector<std::int32_t> one(pieces.size(), 0);
            one[i] = 1;
            lp.addColumn(one);
        }
    }

    Bin bin;
    std::vector<Rectangle> pieces;
    CoveringLp lp;
    std::unique_ptr<GuillotineTable> table;
    std::int64_t panels = 0;
    bool solved = false;
    std::vector<double> worth;
};

GuillotineRelaxation::GuillotineRelaxation(const PanelCore& core) : m_impl(std::make_unique<Impl>(core)) {}
GuillotineRelaxation::~GuillotineRelaxation() = default;
std::int64_t GuillotineRelaxation::panels() const { return m_impl->panels; }
bool GuillotineRelaxation::solved() const { return m_impl->solved; }
const std::vector<double>& GuillotineRelaxation::worth() const { return m_impl->worth; }

void GuillotineRelaxation::raise(std::int64_t goal, Budget& budget) {
    Impl& d = *m_impl;
    if (!d.table) {
        const std::uint64_t most = budget.limit() / 400 + 100'000;
        d.table = std::make_unique<GuillotineTable>(d.pieces, d.bin.width, d.bin.height, most);
        budget.add(d.table->workOfOne());
        for (std::size_t i = 0; i < d.pieces.size(); ++i) {
            if (!d.table->covers(i)) d.lp.setDemand(i, 0.0);
        }
    }
    while (!d.solved && d.panels < goal && !budget.spent()) {
        const CoveringLp::Solution s = d.lp.solve();
        budget.add((s.iterations + 1) * d.pieces.size());
        if (!s.ok) return;
        std::vector<std::int64_t> worth(d.pieces.size());
        Wide value = 0;
        for (std::size_t i = 0; i < d.pieces.size(); ++i) {
            if (!d.table->covers(i)) continue;
            worth[i] = static_cast<std::int64_t>(std::floor(std::min(s.duals[i], 1.0) * kScale));
            value += static_cast<Wide>(worth[i]) * d.pieces[i].count;
        }
        const std::int64_t top = std::max<std::int64_t>(d.table->price(worth), 1);
        budget.add(d.table->workOfOne());
        // No panel is worth more than `top`, so the worths divided by it prove a bound, whatever the solver did.
        d.panels = std::max(d.panels, static_cast<std::int64_t>((value + top - 1) / top));
        d.worth = s.duals;
        if (static_cast<double>(top) <= kScale * (1.0 + 1e-7)) {
            d.solved = true;
            return;
        }
        d.lp.addColumn(d.table->counts());
        if (s.value <= static_cast<double>(goal - 1) + 1e-9) return; // it can only fall: this goal is out of reach
    }
}

} // namespace spanwright::shop
