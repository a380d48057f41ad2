// SPDX-License-Identifier: MIT
#include "tests/fuzz/targets.h"

#include <cstdio>
#include <cstdlib>

#include "engine/io/files.h"
#include "engine/job/job.h"
#include "engine/syntax/document.h"
#include "engine/units/format.h"
#include "engine/units/unit.h"

namespace spanwright::fuzz {

namespace {

void law(bool holds, const char* which) {
    if (holds) return;
    std::fprintf(stderr, "law broken: %s\n", which);
    std::abort();
}

std::string withoutBlanks(const std::string& s) {
    std::string out;
    for (const char c : s) {
        if (c != ' ' && c != '\t') out.push_back(c);
    }
    return out;
}

void calculates(io::Memory& files, const std::string& start) {
    const auto job = job::Job::open(files, start, {.library = "library", .cancelled = {}});
    bool error = false;
    for (const diag::Diagnostic& d : job->diagnostics()) {
        error = error || d.severity == diag::Severity::Error;
        (void)diag::renderText(d, job->resolver());
    }
    law(!error || job->verdict() != job::Verdict::Ok, "an error and yet OK");
    law((job->exitStatus() == 0) == (job->verdict() == job::Verdict::Ok), "status and verdict say the same");
    for (std::size_t i = 0; i < job->memberCount(); ++i) (void)job->member(i);
}

} // namespace

void readsRows(const std::string& bytes) {
    for (const auto kind : {syntax::FileKind::Sheet, syntax::FileKind::Job}) {
        const syntax::Document d = syntax::Document::read("f", kind, bytes);
        law(d.text() == bytes, "text() gives the bytes back");
        for (const syntax::Row& row : d.rows()) {
            std::uint32_t at = 0;
            for (const syntax::Token& t : syntax::tokenize(row.text)) {
                law(t.span.begin == at && t.span.end >= at, "tokens are gapless");
                at = t.span.end;
            }
            law(at == row.text.size(), "tokens reach the end");
        }
        (void)d.diagnostics();
        const std::string once = syntax::tidy(d);
        law(withoutBlanks(once) == withoutBlanks(bytes), "tidy changes blanks only");
        law(syntax::tidy(syntax::Document::read("f", kind, once)) == once, "tidy is idempotent");
    }
}

void readsUnits(const std::string& bytes) {
    if (const auto unit = units::readUnit(bytes)) {
        const auto again = units::readUnit(unit.value().ascii);
        law(again.ok() && again.value().dimension == unit.value().dimension && again.value().factor == unit.value().factor, "a unit reads back");
    }
    if (const auto value = units::readValue(bytes)) {
        const auto again = units::readValue(units::writeValue(value.value().si, value.value().unit));
        law(again.ok() && again.value().si == value.value().si, "a value reads back");
        (void)units::showValue(value.value().si, value.value().unit);
    }
}

void calculatesSheet(const std::string& bytes) {
    io::Memory files;
    files.files["work/trial.spansheet"] = bytes;
    calculates(files, "work/trial.spansheet");
}

void calculatesJob(const std::string& bytes) {
    io::Memory files;
    files.files["work/job.spanjob"] = bytes;
    files.files["work/beam.spansheet"] = "sheet beam\nask w [kN/m]\ngiven L = 3 m\nderive M [kN*m] as design = w*L^2/8\ncheck bending: M <= 4 kN*m\n";
    calculates(files, "work/job.spanjob");
}

} // namespace spanwright::fuzz
