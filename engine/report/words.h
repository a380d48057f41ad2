// SPDX-License-Identifier: MIT
#pragma once

#include <functional>
#include <string>
#include <string_view>
#include <vector>

#include "engine/report/document.h"
#include "engine/report/facts.h"

/// The words that stand in every form of output, in one place so that all say the same.
namespace spanwright::report {

/// The cautions that are printed with every result and cannot be switched off.
[[nodiscard]] const std::vector<std::string>& standingCautions();
/// The standing ones and after them the sheets' own, each once, in the order of the members.
[[nodiscard]] std::vector<std::string> cautionsOf(const JobFacts& f);

/// What the sheets of some members caution of, besides what holds for everything.
struct CautionGroup {
    std::vector<std::size_t> members;
    std::vector<std::string> cautions;
};
/// All of cautionsOf() but the standing ones, those of the same members together.
[[nodiscard]] std::vector<CautionGroup> cautionGroups(const JobFacts& f);

[[nodiscard]] Stamp stampOf(job::Verdict v);
[[nodiscard]] Stamp stampOf(job::CheckView::State s);
/// "known", "not stated", "not computed", "blocked", "not applicable": also the words of the JSON.
[[nodiscard]] std::string_view stateWord(eval::State s);
/// "ask", "given", "choose" ...: the language's own words.
[[nodiscard]] std::string_view kindWord(meaning::Kind k);
/// "in order", "out of date", "unknown".
[[nodiscard]] std::string_view tickWord(job::TickView::State s);
/// "1 check", "3 checks".
[[nodiscard]] std::string counted(std::size_t n, std::string_view one, std::string_view many);
/// A member's count without needless decimals: "14".
[[nodiscard]] std::string countText(double count);
/// A message whose names stand between backticks: names as typed, without them.
[[nodiscard]] Inlines namesMarked(const std::string& message);
/// Words of a sheet or a job: a name between backticks is typeset as the symbol that it is, what else stands there as typed; so is what
/// looks like a symbol.
[[nodiscard]] Inlines symbolsMarked(const std::string& words);
/// A name that is a symbol wherever it stands: one letter, Latin or Greek, and one subscript, as in `k_mod` and `psi_0`.
[[nodiscard]] bool isSymbol(std::string_view name);
/// Symbols among words typeset, and names that `own` knows, asked as the engine spells them.
[[nodiscard]] Inlines symbolsAmong(Inlines words, const std::function<bool(const std::string& canonical)>& own = {});
/// What names are made of, and digits behind their first letter.
[[nodiscard]] bool isOfName(char c);
/// Where a name that begins at `at` ends; `at` where none does.
[[nodiscard]] std::size_t nameEnd(std::string_view text, std::size_t at);
/// A call with its arguments, "h_x(x = 1.80 m)": names typeset. `named`: what each argument is called, too; else as formulas write it, "h_x(1.80 m)".
[[nodiscard]] Inlines callMarked(const std::string& call, bool named = true);
/// "J1" or, for a sheet on its own, "". What stands before a row's name.
[[nodiscard]] std::string pathOf(const JobFacts& f, std::string_view mark, std::string_view name);

} // namespace spanwright::report
