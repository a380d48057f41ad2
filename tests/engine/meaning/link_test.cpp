// SPDX-License-Identifier: MIT
#include <doctest/doctest.h>

#include "tests/engine/meaning/sheet_text.h"

using namespace spanwright;
using syntax::Tag;

namespace {

/// A job of two members: J1 has R_G (characteristic, kN), R_d (design, kN), s (mm), n; the job has snow (kN/m^2).
struct Links {
    SheetText sheet{"ask w_G [kN/m] as characteristic\nask q [kN/m^2]\nask F [kN] as design\nask n\nchoose c from t\ntable t\nk, v\na, 1\nend\n"};
    std::vector<diag::Diagnostic> told;
    std::optional<meaning::Link> link;

    static std::optional<meaning::Reference> find(std::string_view member, std::string_view name, std::vector<std::string>& near) {
        const auto reference = [](const char* unit, Tag tag) {
            meaning::Reference r;
            if (*unit != '\0') {
                r.unit = units::readUnit(unit).value();
                r.dimension = r.unit.dimension;
            }
            r.tag = tag;
            return r;
        };
        if (member.empty() && name == "snow") return reference("kN/m^2", Tag::None);
        if (member == "J1") {
            if (name == "R_G") return reference("kN", Tag::Characteristic);
            if (name == "R_d") return reference("kN", Tag::Design);
            if (name == "s") return reference("mm", Tag::None);
            if (name == "n") return reference("", Tag::None);
            near = {"R_G", "R_d", "s", "n"};
        } else if (member.empty()) {
            near = {"snow"};
        } else {
            near = {"J1", "H1"};
        }
        return {};
    }

    std::string read(const std::string& text, const char* target) {
        const auto document = syntax::Document::read("a.spanjob", syntax::FileKind::Job, "member H1 = eu/header\n with w_G = " + text + "\n");
        std::vector<syntax::Complaint> complaints;
        const syntax::Formula formula = syntax::readValueOrFormula(text, complaints);
        told.clear();
        link = meaning::analyseLink(formula, document, 1, target == nullptr ? nullptr : &sheet.at(target), find, sheet.texts, told);
        std::string out;
        for (const auto& d : told)
            out += (out.empty() ? "" : "\n") + std::string(diag::codeText(d.code)) + " " + d.message + (d.mend.empty() ? "" : " | " + d.mend);
        if (link.has_value() != told.empty()) out += " (a link and a diagnostic, or neither)";
        return out;
    }
};

} // namespace

TEST_CASE("a link is typed against its target") {
    Links l;
    CHECK(l.read("J1.R_G/J1.s", "w_G") == "");
    REQUIRE(l.link);
    CHECK(l.link->references.size() == 2);
    CHECK(l.link->references[0].path == "J1.R_G");
    CHECK(meaning::plain(meaning::typeset(l.link->exprs, l.link->root, meaning::namingOf(*l.link))) == "J1.R_G/J1.s");
    CHECK(l.read("J1.R_G/J1.s + J1.R_G/J1.s", "w_G") == "");
    CHECK(l.link->references.size() == 2); // each once
    CHECK(l.read("2*snow", "q") == "");
    CHECK(l.read("1.2 kN/m", "w_G") == ""); // a plain value takes the tag
    CHECK(l.read("0", "w_G") == "");
    CHECK(l.read("J1.R_G", nullptr) == "");
    CHECK(l.read("\"a\"", "c") == "");
}

TEST_CASE("what is wrong with a link") {
    Links l;
    CHECK(l.read("2*J1.R_G/J1.s", "w_G") == ""); // two joists
    CHECK(l.read("1.35*J1.R_G/J1.s", "w_G").starts_with("M315 ")); // factored already: not characteristic any more
    CHECK(l.read("J1.R_G", "w_G") == "M303 `w_G` must be in kN/m, and this is in kN | a factor in m is missing, or one too many");
    CHECK(l.read("3.6", "w_G") == "M303 `w_G` must be in kN/m, and this is a pure number | write the unit behind the number: 3.6 kN/m");
    CHECK(l.read("120 kg/m", "w_G") == "M304 `w_G` must be in kN/m, and this is in kg/m: a mass is no force | write kgf for kg, or multiply by g_n");
    CHECK(
        l.read("J1.R_d/J1.s", "w_G") ==
        "M315 `w_G` wants a characteristic value, and this is a design value | link to a characteristic value of that member, so that no factor counts twice");
    CHECK(l.read("J1.R_G*J1.n/J1.s", "w_G") == "M315 `w_G` wants a characteristic value, and this is a value without a tag | declare the value that it comes "
                                               "from `as characteristic`, if that is what it is");
    CHECK(l.read("J1.R_G/(1 m)^2", "q") == "M315 `q` wants a value without a tag, and this is a characteristic value | declare `q` `as characteristic` in its "
                                           "sheet, or link to a value without a tag");
    CHECK(l.read("J1.R_G + J1.R_d", "F") ==
          "M315 J1.R_G + J1.R_d: a characteristic value meets a design value | factor the characteristic one first, or take both of one sort");
    CHECK(l.read("J1.R_H/J1.s", "w_G") == "M301 the job has no value `J1.R_H` | did you mean `J1.R_G`?");
    CHECK(l.read("J2.R_G/J1.s", "w_G") == "M301 the job has no value `J2.R_G` | did you mean `J1.R_G`?");
    CHECK(l.read("snaw*2", "q") == "M301 the job has no given `snaw` | did you mean `snow`?");
    CHECK(l.read("largest(J1.R_G, over uls)/J1.s", "w_G") ==
          "M316 a link has no each rows to go over | reduce the value in its own sheet: largest(..., over uls)");
    CHECK(l.read("sqt(4)", "n") == "M308 there is no function `sqt` here | did you mean `sqrt`?");
    CHECK(l.read("J1.B.M(1 m)", "n") ==
          "M308 a beam cannot be asked from another member | give the value a row of its own in that member's sheet and link to it");
    CHECK(l.read("\"x\"", "n") == "M307 a text stands where a number is wanted | texts can only be compared, with == or !=");
}
