// SPDX-License-Identifier: MIT
// Small jobs in memory for the tests of engine/shop.
#pragma once

#include <memory>
#include <string>

#include <doctest/doctest.h>

#include "engine/shop/workshop.h"

namespace spanwright::shop::tests {

/// Joists of C24, a panel web of birch plywood, flanges that may be ripped.
inline const std::string kSheet = R"(sheet   trial
title   A trial sheet
table   classes by class
class, rho_mean [kg/m^3]
C24, 420
C30, 460
end
table   panels by panel
panel, t [mm], rho_mean [kg/m^3]
birch 12, 12, 680
end
table   ways by way
way, what [text]
along, "a"
across, "b"
free, "c"
end
choose  grade = C24 from classes
choose  panel = birch 12 from panels
choose  lies = along from ways
list    joints by joint
joint, at [m]
end
each    j in joints
given   L = 3.6 m
given   b = 47 mm
given   h = 195 mm
given   n_j = 1
given   n_w = 0
given   n_f = 0
given   h_1 = 300 mm
given   h_2 = 300 mm
given   L_w = 1.2 m
check   c: b <= h
piece   joist = n_j off, b by h by L from grade, at L/2, nails 6
piece   web = n_w off, panel.t by h_1 to h_2 by L_w from panel, grain lies, at L_w/2, glue 2*L_w*60 mm, screws L_w
piece   flange = n_f off, b by 72 mm by L from grade, rip, groove L
piece   plate = 1 off, panel.t by 300 mm by 200 mm from panel, grain free   only if j.at > 1 m
)";

struct Bench {
    io::Memory files;
    std::unique_ptr<job::Job> job;
    Workshop shop;

    explicit Bench(const std::string& jobText, const std::string& sheet = kSheet) {
        files.files["work/trial.spansheet"] = sheet;
        files.files["work/job.spanjob"] = jobText;
    }
    Workshop& work(const WorkshopOptions& options = {}) {
        job = job::Job::open(files, "work/job.spanjob", {.library = "library", .cancelled = {}});
        shop = shop::work(*job, options);
        return shop;
    }
    /// Code and message of every problem, one a line.
    [[nodiscard]] std::string told() const {
        std::string out;
        for (const diag::Diagnostic& d : job->diagnostics()) out += std::string(diag::codeText(d.code)) + " " + d.message + "\n";
        for (const diag::Diagnostic& d : shop.problems) out += std::string(diag::codeText(d.code)) + " " + d.message + "\n";
        return out;
    }
};

inline const BillLine& line(const Workshop& w, const std::string& item) {
    for (const BillLine& l : w.bill.lines)
        if (l.item == item) return l;
    FAIL("no line ", item);
    return w.bill.lines.front();
}

} // namespace spanwright::shop::tests
