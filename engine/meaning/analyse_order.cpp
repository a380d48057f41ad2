// SPDX-License-Identifier: MIT
// Puts rows and functions in the order of what they read, without recursing.
#include <algorithm>

#include "engine/meaning/analysis.h"

namespace spanwright::meaning {

using diag::Code;
using syntax::NodeKind;
using syntax::RowKind;

void SheetAnalysis::formulasOf(std::uint32_t r, std::vector<const syntax::Formula*>& into) const {
    const syntax::RowParts& row = rowAt(r);
    const auto add = [&into](const syntax::Formula& f) {
        if (f.present()) into.push_back(&f);
    };
    add(row.formula);
    add(row.range);
    add(row.limits.low);
    add(row.limits.high);
    add(row.limits.tolerance);
    add(row.condition);
    for (const auto& f : row.supports) add(f);
    for (const auto& f : row.settlements) add(f);
    for (const auto& f : row.stiffness) add(f);
    add(row.load.size);
    add(row.load.sizeEnd);
    add(row.load.from);
    add(row.load.to);
    add(row.load.at);
    add(row.count);
    for (const auto& f : row.sizes) add(f);
    add(row.sizeEnd);
    for (const auto& c : row.clauses) add(c.formula);
    if (kindAt(r) != RowKind::Beam && kindAt(r) != RowKind::Sketch) return;
    if (const auto block = m_beamRows.find(r); block != m_beamRows.end()) {
        for (std::uint32_t inner : block->second) formulasOf(inner, into);
    }
}

/// Items are quantities, then functions (numbered after them). Rows on a ring come out somewhere, once.
std::vector<std::uint32_t> SheetAnalysis::order() {
    const auto quantities = static_cast<std::uint32_t>(m_sheet.quantities.size());
    const auto items = quantities + static_cast<std::uint32_t>(m_sheet.functions.size());
    std::vector<std::uint32_t> starts(items + 1, 0);
    std::vector<std::uint32_t> needs;
    needs.reserve(items * 3U);
    std::vector<const syntax::Formula*> formulas;
    for (std::uint32_t item = 0; item < items; ++item) {
        starts[item] = static_cast<std::uint32_t>(needs.size());
        const bool function = item >= quantities;
        if (!function && m_sheet.quantities[item].kind == Kind::Switch) {
            needs.push_back(m_sheet.quantities[item].whenTrue.value);
            needs.push_back(m_sheet.quantities[item].whenFalse.value);
            continue;
        }
        const std::uint32_t r = function ? m_sheet.functions[item - quantities].row : m_sheet.quantities[item].row;
        formulas.clear();
        formulasOf(r, formulas);
        for (const syntax::Formula* f : formulas) {
            std::string_view variable; // of a range in this formula
            for (const auto& n : f->nodes) {
                if (n.kind == NodeKind::Range) variable = n.text;
            }
            for (const auto& n : f->nodes) {
                if (n.kind != NodeKind::Name && n.kind != NodeKind::Call && n.kind != NodeKind::Over) continue;
                if (n.kind == NodeKind::Name && n.text == variable) continue;
                if (function && n.kind == NodeKind::Name) {
                    const auto& parameters = m_sheet.functions[item - quantities].parameters;
                    if (std::any_of(parameters.begin(), parameters.end(), [&](const auto& p) { return p.name == n.text; })) continue;
                }
                const auto found = m_symbols.find(n.text);
                if (found == m_symbols.end()) continue;
                const Symbol& s = found->second;
                if (s.kind == Symbol::Kind::Function) {
                    needs.push_back(quantities + s.index);
                } else if (s.kind == Symbol::Kind::Quantity) {
                    needs.push_back(s.index);
                    if (s.other.valid()) needs.push_back(s.other.value);
                    if (s.whole.valid()) needs.push_back(s.whole.value);
                }
            }
        }
    }
    starts[items] = static_cast<std::uint32_t>(needs.size());

    std::vector<std::uint32_t> done;
    done.reserve(items);
    std::vector<std::uint8_t> state(items, 0); // 0 not met, 1 under way, 2 done
    struct Frame {
        std::uint32_t item, next;
    };
    std::vector<Frame> stack;
    for (std::uint32_t root = 0; root < items; ++root) {
        if (state[root] != 0) continue;
        stack.push_back({root, starts[root]});
        state[root] = 1;
        while (!stack.empty()) {
            Frame& top = stack.back();
            if (top.next == starts[top.item + 1]) {
                state[top.item] = 2;
                done.push_back(top.item);
                stack.pop_back();
                continue;
            }
            const std::uint32_t need = needs[top.next++];
            if (state[need] != 0) continue;
            state[need] = 1;
            stack.push_back({need, starts[need]});
        }
    }
    return done;
}

/// A function that calls itself, directly or through others, is told once a ring; all in the ring are broken.
void SheetAnalysis::reportRecursion() {
    const auto count = static_cast<std::uint32_t>(m_sheet.functions.size());
    std::vector<std::vector<std::uint32_t>> calls(count);
    for (std::uint32_t f = 0; f < count; ++f) {
        for (const auto& n : rowAt(m_sheet.functions[f].row).formula.nodes) {
            if (n.kind != NodeKind::Call) continue;
            const auto found = m_symbols.find(n.text);
            if (found != m_symbols.end() && found->second.kind == Symbol::Kind::Function) calls[f].push_back(found->second.index);
        }
    }
    std::vector<std::uint8_t> state(count, 0);
    struct Frame {
        std::uint32_t function;
        std::size_t next;
    };
    std::vector<Frame> stack;
    for (std::uint32_t root = 0; root < count; ++root) {
        if (state[root] != 0) continue;
        stack.push_back({root, 0});
        state[root] = 1;
        while (!stack.empty()) {
            Frame& top = stack.back();
            if (top.next == calls[top.function].size()) {
                state[top.function] = 2;
                stack.pop_back();
                continue;
            }
            const std::uint32_t called = calls[top.function][top.next++];
            if (state[called] == 0) {
                state[called] = 1;
                stack.push_back({called, 0});
            } else if (state[called] == 1) {
                std::string path;
                std::size_t from = stack.size();
                while (from > 0 && stack[from - 1].function != called) --from;
                bool told = false;
                for (std::size_t i = from - 1; i < stack.size(); ++i) {
                    Function& f = m_sheet.functions[stack[i].function];
                    told = told || f.broken;
                    path += f.name + " calls ";
                }
                path += m_sheet.functions[called].name;
                for (std::size_t i = from - 1; i < stack.size(); ++i) m_sheet.functions[stack[i].function].broken = true;
                if (told) continue;
                const std::uint32_t r = m_sheet.functions[called].row;
                beginRow(r);
                fail(Code::RecursiveFunction, rowAt(r).name.span, "a function cannot call itself: " + path,
                     "write it as rows, or over a range with integral or largest");
            }
        }
    }
}

} // namespace spanwright::meaning
