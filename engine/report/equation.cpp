// SPDX-License-Identifier: MIT
#include "engine/report/equation.h"

#include "engine/meaning/typeset.h"
#include "engine/report/words.h"

namespace spanwright::report {

namespace {

using meaning::Box;

bool isEmpty(const Box& b) { return b.text.empty() && b.children.empty(); }

std::string opposite(const std::string& relation) {
    if (relation == "≤" || relation == "<=") return ">";
    if (relation == "<") return "≥";
    if (relation == "≥" || relation == ">=") return "<";
    if (relation == ">") return "≤";
    return "≠";
}

bool isValue(const std::string& shown) {
    return !shown.empty() && ((shown[0] >= '0' && shown[0] <= '9') || (shown[0] == '-' && shown.size() > 1 && shown[1] >= '0' && shown[1] <= '9'));
}

/// Adds a line unless it reads like the last one; where only the relation differs the new one takes its place.
void step(Equation& e, Box left, const std::string& relation, Box right) {
    if (!e.lines.empty()) {
        Equation::Line& last = e.lines.back();
        if (meaning::plain(last.right) == meaning::plain(right) && (isEmpty(left) || meaning::plain(last.left) == meaning::plain(left))) {
            last.relation = relation;
            return;
        }
    }
    e.lines.push_back({std::move(left), relation, std::move(right)});
}

} // namespace

Box valueBox(const std::string& shown) {
    const std::size_t blank = shown.find(' ');
    if (!isValue(shown)) return Box{Box::Kind::Word, shown, {}};
    if (blank == std::string::npos) return Box{Box::Kind::Number, shown, {}};
    Box row;
    row.children = {Box{Box::Kind::Number, shown.substr(0, blank), {}}, Box{Box::Kind::Unit, shown.substr(blank + 1), {}}};
    return row;
}

bool checkFails(const job::Working& w) {
    if (w.state != eval::State::Known || w.kind != "check") return false;
    if (!w.utilisation) return false;
    return *w.utilisation > 1 + 1e-9;
}

Equation equationOf(const job::Working& w) {
    Equation e;
    const bool known = w.state == eval::State::Known;
    if (w.kind == "check") {
        // A check passes at equality, so < and > are shown as what they are read as.
        const std::string relation = w.relation.empty() || w.relation == "<" ? "≤" : w.relation == ">" ? "≥" : w.relation;
        if (!isEmpty(w.formula)) step(e, w.formula, relation, w.right);
        if (known && !isEmpty(w.putIn)) step(e, w.putIn, relation, w.rightPutIn);
        if (known && !w.shown.empty() && !w.rightShown.empty())
            step(e, valueBox(w.shown), checkFails(w) ? opposite(relation) : relation, valueBox(w.rightShown));
        return e;
    }
    if (w.kind == "require") {
        if (!isEmpty(w.formula)) step(e, w.formula, "", {});
        if (known && !isEmpty(w.putIn) && meaning::plain(w.putIn) != meaning::plain(w.formula)) step(e, w.putIn, "", {});
        return e;
    }
    if (w.hasFormula && !isEmpty(w.formula)) step(e, w.symbol, "=", w.formula);
    if (known && w.hasFormula && !isEmpty(w.putIn)) step(e, e.lines.empty() ? w.symbol : Box{}, "=", w.putIn);
    if (known && !w.shown.empty()) step(e, e.lines.empty() ? w.symbol : Box{}, "=", valueBox(w.shown));
    if (e.lines.empty() && !isEmpty(w.symbol)) e.lines.push_back({w.symbol, "", {}});
    return e;
}

std::vector<Block> asideBlocks(const job::Working::Aside& aside, bool formulaKnown) {
    Inlines lead{faintText("on the way: ")};
    for (Inline& i : callMarked(aside.name)) {
        if (i.kind == Inline::Kind::Text) i.kind = Inline::Kind::Faint;
        lead.push_back(std::move(i));
    }
    const bool hasValues = !isEmpty(aside.putIn) && meaning::plain(aside.putIn) != meaning::plain(aside.formula);
    const bool valuesOnly = formulaKnown && hasValues;
    if (!aside.what.empty() && !valuesOnly) lead.push_back(faintText(", " + aside.what));
    if (!aside.source.empty() && !valuesOnly) lead.push_back(faintText(" (" + aside.source + ")"));
    lead = symbolsAmong(std::move(lead));
    Equation e;
    if (!valuesOnly) step(e, aside.symbol, "=", aside.formula);
    if (hasValues) step(e, e.lines.empty() ? aside.symbol : Box{}, "=", aside.putIn);
    if (!aside.shown.empty()) step(e, Box{}, "=", valueBox(aside.shown));
    std::vector<Block> out;
    out.push_back({Paragraph{std::move(lead)}});
    out.push_back({std::move(e)});
    return out;
}

} // namespace spanwright::report
