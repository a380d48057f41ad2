// SPDX-License-Identifier: MIT
#include "engine/report/on_the_way.h"

#include <utility>

#include "engine/meaning/typeset.h"
#include "engine/report/equation.h"
#include "engine/report/words.h"

namespace spanwright::report {

namespace {

constexpr std::size_t kInOneLine = 2; ///< numbers that one line tells; more stand below one another, to be found

} // namespace

std::vector<Block> OnTheWay::blocks(const std::vector<job::Working::Aside>& asides, const std::string& row, const std::string& name) {
    std::vector<Block> out;
    // Known numbers first: the steps below may need them.
    struct Number {
        Inlines call;
        std::string shown;
    };
    struct Before {
        Line line;
        std::vector<Number> numbers;
    };
    std::map<std::string, Before> before; // by row, in the order of ids
    std::vector<std::string> order;
    std::size_t count = 0;
    for (const job::Working::Aside& a : asides) {
        const std::string formula = meaning::plain(a.symbol) + " = " + meaning::plain(a.formula);
        const std::string all = a.name + " | " + formula + " | " + meaning::plain(a.putIn) + " | " + a.shown;
        const auto [worked, fresh] = m_worked.try_emplace(all, Line{row, name});
        if (!fresh && worked->second.id != row && !a.shown.empty()) {
            auto [at, first] = before.try_emplace(worked->second.id, Before{worked->second, {}});
            if (first) order.push_back(worked->second.id);
            at->second.numbers.push_back({callMarked(a.name, false), a.shown});
            ++count;
            continue;
        }
        const auto [known, firstTime] = m_formulas.try_emplace(formula, Line{row, name});
        const bool elsewhere = !firstTime && meaning::plain(a.putIn) != meaning::plain(a.formula);
        std::vector<Block> steps = asideBlocks(a, elsewhere);
        if (elsewhere && known->second.id != row) {
            if (auto* lead = std::get_if<Paragraph>(&steps.front().is)) {
                lead->text.push_back(faintText(", formula at "));
                lead->text.push_back(nameLink(known->second.id, known->second.name));
            }
        }
        for (Block& b : steps) out.push_back(std::move(b));
    }
    std::vector<Block> known;
    if (count > kInOneLine) {
        for (const std::string& id : order) {
            Before& b = before.at(id);
            known.push_back({Paragraph{{faintText("on the way, worked out at "), nameLink(b.line.id, b.line.name), faintText(":")}}});
            Table t;
            t.ruled = false;
            t.columns = {{"", Table::Align::Left, true}};
            for (Number& n : b.numbers) {
                n.call.push_back(plainText(" = " + n.shown));
                t.rows.push_back({std::move(n.call)});
            }
            known.push_back({std::move(t)});
        }
    } else if (count > 0) {
        Inlines text;
        for (const std::string& id : order) {
            Before& b = before.at(id);
            text.push_back(faintText(text.empty() ? "on the way, worked out at " : "; at "));
            text.push_back(nameLink(b.line.id, b.line.name));
            text.push_back(faintText(": "));
            for (std::size_t i = 0; i < b.numbers.size(); ++i) {
                if (i > 0) text.push_back(plainText("; "));
                for (Inline& w : b.numbers[i].call) text.push_back(std::move(w));
                text.push_back(plainText(" = " + b.numbers[i].shown));
            }
        }
        known.push_back({Paragraph{std::move(text)}});
    }
    for (Block& b : out) known.push_back(std::move(b));
    return known;
}

} // namespace spanwright::report
