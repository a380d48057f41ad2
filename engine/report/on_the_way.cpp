// SPDX-License-Identifier: MIT
#include "engine/report/on_the_way.h"

#include <utility>

#include "engine/meaning/typeset.h"
#include "engine/report/equation.h"

namespace spanwright::report {

std::vector<Block> OnTheWay::blocks(const std::vector<job::Working::Aside>& asides, const std::string& row, const std::string& name) {
    std::vector<Block> out;
    // Known numbers first: the steps below may need them.
    std::map<std::string, std::pair<Line, Inlines>> before; // by row, in the order of ids
    std::vector<std::string> order;
    for (const job::Working::Aside& a : asides) {
        const std::string formula = meaning::plain(a.symbol) + " = " + meaning::plain(a.formula);
        const std::string all = a.name + " | " + formula + " | " + meaning::plain(a.putIn) + " | " + a.shown;
        const auto [worked, fresh] = m_worked.try_emplace(all, Line{row, name});
        if (!fresh && worked->second.id != row && !a.shown.empty()) {
            auto [at, first] = before.try_emplace(worked->second.id, worked->second, Inlines{});
            if (first) order.push_back(worked->second.id);
            Inlines& words = at->second.second;
            words.push_back(plainText((words.empty() ? "" : "; ") + a.name + " = " + a.shown));
            continue;
        }
        const auto [known, firstTime] = m_formulas.try_emplace(formula, Line{row, name});
        const bool elsewhere = !firstTime && meaning::plain(a.putIn) != meaning::plain(a.formula);
        std::vector<Block> steps = asideBlocks(a, elsewhere);
        if (elsewhere && known->second.id != row) {
            if (auto* lead = std::get_if<Paragraph>(&steps.front().is)) {
                lead->text.push_back(faintText(", formula at "));
                lead->text.push_back(linkTo(known->second.id, known->second.name));
            }
        }
        for (Block& b : steps) out.push_back(std::move(b));
    }
    std::vector<Block> known;
    for (const std::string& id : order) {
        auto& [line, words] = before.at(id);
        Inlines text{faintText("on the way, worked out at "), linkTo(line.id, line.name), faintText(": ")};
        text.insert(text.end(), words.begin(), words.end());
        known.push_back({Paragraph{std::move(text)}});
    }
    for (Block& b : out) known.push_back(std::move(b));
    return known;
}

} // namespace spanwright::report
