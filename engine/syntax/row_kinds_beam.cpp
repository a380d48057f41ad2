// SPDX-License-Identifier: MIT
#include "engine/syntax/row_reader.h"

namespace spanwright::syntax {

using diag::Code;

/// beam NAME from A to B
void RowReader::beam() {
    if (!name(m_parts.name, "a name") || !word("from", "write `beam NAME from 0 m to L`")) return;
    m_parts.supports.push_back(formula(find({"to"})));
    if (!word("to", "write `beam NAME from 0 m to L`")) return;
    m_parts.supports.push_back(formula(m_tokens.size()));
}

/// stiffness EI[, GA[, RELIEF]] [only if CONDITION]
void RowReader::stiffness() {
    const std::size_t end = find({"only"});
    m_parts.stiffness.push_back(formula(std::min(find({","}), end)));
    while (atSymbol(",") && m_parts.stiffness.size() < 3) {
        ++m_at;
        m_parts.stiffness.push_back(formula(std::min(find({","}), end)));
    }
    condition();
    leftOver();
}

/// support [fixed] P [sinks D], ... [only if CONDITION]
void RowReader::support() {
    const std::size_t end = find({"only"});
    for (;;) {
        const std::size_t stop = std::min(find({","}), end);
        bool fixed = false;
        if (atWord("fixed") && m_at + 1 < stop && !m_tokens.is(m_at + 1, TokenKind::Symbol)) {
            fixed = true;
            ++m_at;
        }
        if (atWord("fixed") && m_at + 1 == stop) {
            ++m_at;
            incomplete("`fixed` is followed by no place", "write `fixed 0 m`");
            return;
        }
        m_parts.supports.push_back(formula(std::min(find({"sinks"}), stop)));
        m_parts.fixed.push_back(fixed);
        Formula sinks;
        if (atWord("sinks")) {
            ++m_at;
            sinks = formula(stop);
        }
        m_parts.settlements.push_back(std::move(sinks));
        if (!m_parts.complaints.empty() || !atSymbol(",")) break;
        ++m_at;
    }
    condition();
    leftOver();
}

/// load ACTION line F [to F2] [from A to B] [each span] | point F at X [each span] | moment M at X
void RowReader::load() {
    constexpr std::string_view kForm = "write `load G line F`, `load Q point F at X` or `load Q moment M at X`";
    LoadRow& load = m_parts.load;
    if (!name(load.action, "an action, such as `G` or `Q`")) return;
    if (atWord("line")) {
        load.shape = LoadRow::Shape::Line;
    } else if (atWord("point")) {
        load.shape = LoadRow::Shape::Point;
    } else if (atWord("moment")) {
        load.shape = LoadRow::Shape::Moment;
    } else {
        incomplete("a load is a `line`, a `point` or a `moment`", std::string(kForm));
        return;
    }
    ++m_at;
    if (load.shape == LoadRow::Shape::Line) {
        load.size = formula(find({"to", "from", "each", "only"}));
        if (atWord("to")) {
            ++m_at;
            load.shape = LoadRow::Shape::Triangle;
            load.sizeEnd = formula(find({"from", "each", "only"}));
        }
        if (atWord("from")) {
            ++m_at;
            load.from = formula(find({"to", "each", "only"}));
            if (!word("to", "write `from A to B`")) return;
            load.to = formula(find({"each", "only"}));
        }
    } else {
        load.size = formula(find({"at", "each", "only"}));
        if (!word("at", kForm)) return;
        load.at = formula(find({"each", "only"}));
    }
    if (atWord("each")) {
        ++m_at;
        if (!word("span", "write `each span`")) return;
        load.eachSpan = true;
    }
    condition();
    leftOver();
}

} // namespace spanwright::syntax
