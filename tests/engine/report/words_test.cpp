// SPDX-License-Identifier: MIT
// Names among words as symbols.
#include <doctest/doctest.h>

#include "engine/meaning/typeset.h"
#include "engine/report/words.h"

using namespace spanwright;
using namespace spanwright::report;

namespace {

/// Symbols in angle brackets, words as they are.
std::string marked(const Inlines& line) {
    std::string out;
    for (const Inline& i : line) out += i.kind == Inline::Kind::Math ? "<" + meaning::plain(i.math) + ">" : i.text;
    return out;
}

} // namespace

TEST_CASE("what looks like a symbol is one, wherever it stands") {
    for (const char* name : {"k_mod", "psi_0", "σ_m", "gamma_G", "E_0mean", "L_2"}) CHECK_MESSAGE(isSymbol(name), name);
    for (const char* name : {"k_mod_solid", "deflection_net", "k_", "_k", "kmod", "", "uls_factors", "psi"}) CHECK_FALSE_MESSAGE(isSymbol(name), name);
    CHECK(marked(symbolsMarked("psi_0 in row of k_mod_solid, k_def too; (h_x)")) == "<ψ_0> in row of k_mod_solid, <k_def> too; (<h_x>)");
    CHECK(marked(symbolsMarked("as `b` and `table x.csv` say")) == "as <b> and table x.csv say");
    // Behind a point stands a name of its own.
    CHECK(marked(symbolsAmong({faintText("branch taken: uls.S_0*ψ_0 > 0")})) == "branch taken: uls.<S_0>*<ψ_0> > 0");
    // Nothing is begun within a word.
    CHECK(marked(symbolsMarked("an_x_y, xa_b, 3a_b")) == "an_x_y, xa_b, 3a_b");
}

TEST_CASE("names that somebody knows are asked for as the engine spells them") {
    std::vector<std::string> asked;
    const auto own = [&](const std::string& name) {
        asked.push_back(name);
        return name == "lambda_rel_m";
    };
    CHECK(marked(symbolsAmong({plainText("λ_rel_m <= 0.75 or deflection_net")}, own)) == "<λ_rel_m> <= 0.75 or deflection_net");
    CHECK(asked == std::vector<std::string>{"lambda_rel_m", "deflection_net"});
    // What is boxed, typed or leads somewhere is left alone.
    const Inlines line = symbolsAmong({codeText("k_mod"), linkTo("m1", "k_mod")}, own);
    REQUIRE(line.size() == 2);
    CHECK(line[0].kind == Inline::Kind::Code);
    CHECK(line[1].target == "m1");
}

TEST_CASE("a call with its arguments, with what they are called and without") {
    CHECK(marked(callMarked("h_x(x = 1.80 m, E_f = 3 kN)")) == "<h_x>(<x> = 1.80 m, <E_f> = 3 kN)");
    CHECK(marked(callMarked("h_x(x = 1.80 m, E_f = 3 kN)", false)) == "<h_x>(1.80 m, 3 kN)");
    CHECK(marked(callMarked("P_G of door", false)) == "<P_G> of door");
}
