// SPDX-License-Identifier: MIT
#include "engine/report/on_the_way.h"

#include <utility>

#include "engine/meaning/typeset.h"
#include "engine/report/equation.h"
#include "engine/report/words.h"

namespace spanwright::report {

namespace {

constexpr std::size_t kInOneLine = 2; ///< numbers that one line tells; more stand below one another, to be found

std::string formulaOf(const job::Working::Aside& a) { return meaning::plain(a.symbol) + " = " + meaning::plain(a.formula); }

/// Whether one of the formulas may call it: where that cannot be told, it does.
bool isCalled(const job::Working::Aside& a, const std::string& formulas) {
    if (a.name.find('(') == std::string::npos || a.symbol.children.empty()) return true;
    const std::string name = meaning::plain(a.symbol.children.front());
    for (std::size_t at = formulas.find(name); at != std::string::npos; at = formulas.find(name, at + 1)) {
        const char before = at == 0 ? ' ' : formulas[at - 1];
        const bool within = before == '_' || (before >= '0' && before <= '9') || (before >= 'a' && before <= 'z') || (before >= 'A' && before <= 'Z');
        if (!within) return true;
    }
    return false;
}

} // namespace

std::vector<Block> OnTheWay::blocks(const std::vector<job::Working::Aside>& asides, const std::string& row, const std::string& name,
                                    const std::vector<meaning::Box>& own) {
    std::vector<Block> out;
    // Which stand here step by step, and all formulas that can be read here.
    std::vector<const Line*> elsewhereWorked;
    std::string formulas;
    for (const meaning::Box& b : own) formulas += meaning::plain(b) + "\n";
    for (const job::Working::Aside& a : asides) {
        const std::string all = a.name + " | " + formulaOf(a) + " | " + meaning::plain(a.putIn) + " | " + a.shown;
        const auto [worked, fresh] = m_worked.try_emplace(all, Line{row, name});
        const bool known = !fresh && worked->second.id != row && !a.shown.empty();
        elsewhereWorked.push_back(known ? &worked->second : nullptr);
        if (!known) formulas += meaning::plain(a.formula) + "\n";
    }
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
    for (std::size_t i = 0; i < asides.size(); ++i) {
        const job::Working::Aside& a = asides[i];
        if (const Line* worked = elsewhereWorked[i]; worked != nullptr) {
            if (!own.empty() && !isCalled(a, formulas)) continue;
            auto [at, first] = before.try_emplace(worked->id, Before{*worked, {}});
            if (first) order.push_back(worked->id);
            at->second.numbers.push_back({callMarked(a.name, false), a.shown});
            ++count;
            continue;
        }
        const auto [known, firstTime] = m_formulas.try_emplace(formulaOf(a), Line{row, name});
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
