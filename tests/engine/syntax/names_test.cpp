// SPDX-License-Identifier: MIT
#include <doctest/doctest.h>

#include "engine/syntax/formula.h"

using namespace spanwright::syntax;

TEST_CASE("Greek letters are spelled out") {
    CHECK(canonicalName("σ_m") == "sigma_m");
    CHECK(canonicalName("sigma_m") == "sigma_m");
    CHECK(canonicalName("αβγδεζηθικλμνξοπρστυφχψω") == "alphabetagammadeltaepsilonzetaetathetaiotakappalambdamunuxiomicronpirhosigmatauupsilonphichipsiomega");
    CHECK(canonicalName("ΑΒΓΔΕΖΗΘΙΚΛΜΝΞΟΠΡΣΤΥΦΧΨΩ") == "AlphaBetaGammaDeltaEpsilonZetaEtaThetaIotaKappaLambdaMuNuXiOmicronPiRhoSigmaTauUpsilonPhiChiPsiOmega");
    CHECK(canonicalName("ς") == "sigma");
    CHECK(canonicalName("ϕ_1") == "phi_1");
    CHECK(canonicalName("ϵ") == "epsilon");
    CHECK(canonicalName("ϑϖϱϰ") == "thetapirhokappa");
    CHECK(canonicalName("µ") == "mu"); // the micro sign
    CHECK(canonicalName("Ω∆") == "OmegaDelta");
    CHECK(canonicalName("größe") == "größe");
}

TEST_CASE("what is a name") {
    for (const char* good : {"a", "M_d", "σ_m", "k_c90", "x2", "iff", "From", "Ä", "span", "a__b_"}) CHECK_MESSAGE(isName(good), good);
    for (const char* bad : {"", "2x", "_a", "a-b", "a b", "a.b", "if", "from", "over", "true", "°", "a\xff"}) CHECK_MESSAGE(!isName(bad), bad);
    for (const auto& word : reservedWords()) CHECK(!isName(word));
}
