// SPDX-License-Identifier: MIT
#include "ready_joists_bench.h"

#include <algorithm>
#include <cmath>
#include <cstdio>
#include <memory>
#include <string>
#include <utility>
#include <vector>

#include "engine/beam/beam.h"
#include "engine/io/files.h"
#include "engine/trial/vary.h"
#include "native_line.h"
#include "native_ready_joists.h"
#include "timing.h"

namespace spanwright::bench {

namespace {

constexpr std::size_t kJoists = 8192;
/// How a twin finds the worst deflection: as the engine does, or as it would where a stiffness varies.
constexpr const char *kTurns = "", *kSearched = ", deflections searched,";

struct Wanted {
    const char* name;
    double tolerance;
};

/// A ready sheet by itself with what its member states.
std::unique_ptr<job::Job> stated(io::Files& files, const std::string& sheet, const std::vector<std::pair<const char*, const char*>>& with) {
    const std::string library = std::string(SPANWRIGHT_SOURCE_DIR) + "/sheets";
    auto job = job::Job::open(files, library + "/" + sheet + ".spansheet", {.library = library, .cancelled = {}});
    const std::string mark = job->member(0).mark;
    for (const auto& [name, value] : with) must(job->override(mark, name, value).ok(), name);
    return job;
}

/// Many depths by hand and as a trial: every utilisation, every value shown and every verdict must be the same before anything is timed.
template <class Answer, class ByHand, class Value> void against(const job::Job& job, const char* sheet, const char* how, const char* depth, double from,
                                                                double to, const std::vector<Wanted>& shown, ByHand byHand, Value value) {
    const std::string mark = job.member(0).mark;
    std::vector<trial::ValueName> names;
    for (const Wanted& w : shown) names.push_back({mark, w.name});
    auto made = trial::Trial::of(job, {{mark, depth}}, names);
    must(made.ok(), sheet);
    const trial::Trial& t = made.value();
    std::vector<double> depths(kJoists);
    for (std::size_t i = 0; i < kJoists; ++i) depths[i] = from + (to - from) * static_cast<double>(i) / (kJoists - 1);
    const trial::Fill fill = [&](std::size_t first, std::size_t count, double* const* out) { std::copy_n(depths.begin() + first, count, out[0]); };
    std::vector<Answer> answers(kJoists);
    byHand(depths.data(), kJoists, answers.data());
    const trial::Results r = t.run(kJoists, fill, {.threads = 1, .progress = {}}, true);
    std::size_t passing = 0;
    const auto same = [&](double a, double b, double tolerance, const char* what) {
        if (std::fabs(a - b) <= tolerance * std::fabs(b)) return;
        std::fprintf(stderr, "%s: %.17g, by hand %.17g\n", what, a, b);
        must(false, what);
    };
    for (std::size_t i = 0; i < kJoists; ++i) {
        std::size_t compared = 0;
        for (std::size_t c = 0; c < t.checks().size(); ++c) {
            const std::string& name = t.checks()[c].name;
            const auto at = std::find(Answer::kChecks.begin(), Answer::kChecks.end(), name);
            if (at == Answer::kChecks.end()) {
                must(t.checks()[c].isRequire || std::isnan(r.byCheck[c][i]), name.c_str());
                continue;
            }
            const bool searched = name.starts_with("deflection");
            same(r.byCheck[c][i], answers[i].utilisation[static_cast<std::size_t>(at - Answer::kChecks.begin())], searched ? 1e-9 : 1e-12, name.c_str());
            ++compared;
        }
        must(compared == Answer::kChecks.size(), "every check has a twin");
        for (std::size_t s = 0; s < shown.size(); ++s) same(r.shown[s][i], value(answers[i], s), shown[s].tolerance, shown[s].name);
        must((r.verdicts[i] == job::Verdict::Ok) == answers[i].passes && r.verdicts[i] != job::Verdict::NotComputed, "verdict");
        passing += answers[i].passes ? 1 : 0;
    }
    must(passing > kJoists / 10 && passing < kJoists, "some pass, some do not");
    const auto [hand, lanes] = side([&] { byHand(depths.data(), kJoists, answers.data()); },
                                    [&] { static_cast<void>(t.run(kJoists, fill, {.threads = 1, .progress = {}}, true)); }, 15);
    std::printf("whole %s (%zu rows downstream of %s), one core: by hand%s %.2f us, trial %.2f us a point: %.2f x (goal 2)\n", sheet, t.rowsDownstream(), depth,
                how, hand / kJoists * 1e6, lanes / kJoists * 1e6, lanes / hand);
}

/// The line by hand with one, two and three spans of unlike length against the engine's beams.
void linesByHand() {
    static constexpr double kEI = 4.6e5, kGA = 5.9e6;
    constexpr double kG = 320, kQ = 800;
    const double lengths[][3] = {{3.6, 0, 0}, {3.6, 2.1, 0}, {1.2, 4.4, 0}, {3.0, 3.0, 3.0}, {4.1, 1.3, 2.9}};
    const auto near = [](double a, double b, double tolerance, const char* what) { must(std::fabs(a - b) <= tolerance * std::fabs(b), what); };
    for (const auto& l : lengths) {
        const int n = l[1] == 0 ? 1 : l[2] == 0 ? 2 : 3;
        beam::Line line;
        line.supports.push_back({0, false, 0});
        for (int s = 0; s < n; ++s) line.supports.push_back({line.to += l[s], false, 0});
        line.loads = {{beam::Load::Shape::Line, 0, kG, kG, 0, line.to, false}, {beam::Load::Shape::Line, 1, kQ, kQ, 0, line.to, true}};
        line.actionCount = 2;
        line.ei = [](const double*, std::size_t m, double* out) { std::fill(out, out + m, kEI); };
        line.ga = [](const double*, std::size_t m, double* out) { std::fill(out, out + m, kGA); };
        line.constantStiffness = true;
        const auto solved = beam::solve(line);
        must(solved.ok(), "a line of even loads");
        const beam::Solved& s = solved.value();
        const Line hand(l, n, 1 / kEI, 1 / kGA, kG, kQ, true);
        for (const std::vector<double>& f : {std::vector<double>{1, 0}, std::vector<double>{1.35, 1.5}, std::vector<double>{0.9, 1.5}}) {
            std::vector<double> at = s.breaks();
            for (const std::vector<double>& more : {s.momentTurns(0, line.to, f), s.shearTurns(0, line.to, f)}) at.insert(at.end(), more.begin(), more.end());
            for (int i = 0; i <= 4000; ++i) at.push_back(line.to * i / 4000);
            double moment = -1e300, shear = 0, sag = -1e300;
            for (const double x : at) {
                moment = std::max(moment, s.moment(x, f).most);
                shear = std::max(shear, std::fabs(s.shear(x, f).greatest()));
                double from = 0;
                int span = 0;
                while (span + 1 < n && x > from + l[span]) from += l[span++];
                sag = std::max(sag, s.deflection(x, f).most / l[span]);
                near(hand.sag(x, f[0], f[1]) + 1e-3, s.deflection(x, f).most + 1e-3, 1e-9, "deflection by hand");
            }
            near(hand.mostMoment(f[0], f[1]), moment, 1e-12, "moment by hand");
            near(hand.mostShear(f[0], f[1]), shear, 1e-12, "shear by hand");
            near(hand.worstSag(f[0], f[1]).value, sag, 1e-6, "worst deflection by hand");
            must(hand.worstSag(f[0], f[1]).value >= sag * (1 - 1e-12), "no place is worse than the worst by hand");
            for (int r = 0; r <= n; ++r) near(hand.mostReaction(r, f[0], f[1]), s.reaction(static_cast<std::size_t>(r), f).most, 1e-9, "reaction by hand");
        }
    }
}

} // namespace

void readyJoistsByHand() {
    linesByHand();
    io::Disk disk;
    const auto eu = stated(disk, "eu/floor-joist",
                           {{"L", "3.6 m"},
                            {"s", "400 mm"},
                            {"b", "47 mm"},
                            {"g_k", "0.55 kN/m^2"},
                            {"q_k", "2 kN/m^2"},
                            {"grade", "C24"},
                            {"service", "1"},
                            {"category", "A"},
                            {"held", "yes"},
                            {"sharing", "deck"},
                            {"B_f", "4.8 m"}});
    EuJoist e;
    e.L = e.a_r = 3.6;
    e.s = 0.4;
    e.b = 0.047;
    e.l_b = 0.05;
    e.held = true;
    e.k_sys = 1.1;
    e.f_mk = 24e6;
    e.f_vk = 4e6;
    e.f_c90k = 2.5e6;
    e.E = 11e9;
    e.E_005 = 7.4e9;
    e.G_mean = 690e6;
    e.rho = 420;
    e.g_k = 550;
    e.q_k = 2000;
    e.k_def = 0.6;
    e.psi_2 = 0.3;
    e.G = {1.35, 1.35};
    e.Q = {0, 1.5};
    e.k_mod = {0.6, 0.8};
    e.inst = 300;
    e.fin = 150;
    e.net = 250;
    e.B_f = 4.8;
    e.t_deck = 0.022;
    e.E_deck = 3500e6;
    e.zeta = 0.01;
    e.a_v = 1.5e-6;
    e.b_v = 160 - 40 * 1.5;
    for (const bool searched : {false, true})
        against<EuJoistAnswer>(
            *eu, "eu/floor-joist", searched ? kSearched : kTurns, "h", 0.12, 0.32,
            {{"R_G", 1e-12}, {"R_Q", 1e-12}, {"R_G2", 1e-12}, {"R_Q2", 1e-12}, {"x_inst", 1e-6}, {"x_fin", 1e-6}, {"w_fin", 1e-9}},
            [&](const double* h, std::size_t n, EuJoistAnswer* out) { (searched ? euJoistSearched : euJoistByHand)(e, h, n, out); },
            [](const EuJoistAnswer& a, std::size_t s) { return std::array{a.R_G, a.R_Q, a.R_G2, a.R_Q2, a.x_inst, a.x_fin, a.w_fin}[s]; });

    const auto us = stated(disk, "us/floor-joist",
                           {{"L", "11 ft 8 in"},
                            {"s", "16 in"},
                            {"size", "2x14"},
                            {"species", "Douglas fir-larch"},
                            {"grade", "#2"},
                            {"duration", "occupancy"},
                            {"repetitive", "yes"},
                            {"held", "yes"},
                            {"weigh", "no"},
                            {"dead", "12 psf"},
                            {"live", "40 psf"}});
    constexpr double kInch = 0.0254, kPsi = 6894.757293168362, kPsf = kPsi / 144;
    UsJoist u;
    u.L = 140 * kInch;
    u.s = 16 * kInch;
    u.b = 1.5 * kInch;
    u.l_b = 1.5 * kInch;
    u.held = true;
    u.F_b = 900 * kPsi;
    u.F_v = 180 * kPsi;
    u.F_cp = 625 * kPsi;
    u.E = 1600000 * kPsi;
    u.E_min = 580000 * kPsi;
    u.SG = 0.5;
    u.C_F = 0.9;
    u.C_r = 1.15;
    u.dead = 12 * kPsf;
    u.live = 40 * kPsf;
    u.D = {1, 1};
    u.LL = {0, 1};
    u.C_D = {0.9, 1};
    for (const bool searched : {false, true})
        against<UsJoistAnswer>(
            *us, "us/floor-joist", searched ? kSearched : kTurns, "d", 6 * kInch, 13 * kInch,
            {{"R_D", 1e-12}, {"R_L", 1e-12}, {"w_live", 1e-9}, {"w_total", 1e-9}},
            [&](const double* d, std::size_t n, UsJoistAnswer* out) { (searched ? usJoistSearched : usJoistByHand)(u, d, n, out); },
            [](const UsJoistAnswer& a, std::size_t s) {
                return std::array{a.R_D, a.R_L, a.w_live, a.w_total}[s];
            });
}

void readySpanTables() {
    struct Table {
        const char* sheet;
        std::vector<std::pair<const char*, const char*>> with;
        std::vector<std::string> over;
        const char* reach;
    };
    const Table tables[] = {
        {"eu/floor-joist",
         {{"L", "3.6 m"},
          {"g_k", "0.55 kN/m^2"},
          {"q_k", "2 kN/m^2"},
          {"grade", "C24"},
          {"service", "1"},
          {"category", "A"},
          {"held", "yes"},
          {"B_f", "4.8 m"}},
         {"grade in C18, C24, C27, C30", "h in 145 mm, 170 mm, 195 mm, 220 mm, 245 mm, 270 mm", "s in 300 mm, 400 mm, 500 mm, 600 mm"},
         "L from 1 m to 9 m"},
        {"us/floor-joist",
         {{"L", "11 ft"},
          {"size", "2x10"},
          {"species", "Douglas fir-larch"},
          {"grade", "#2"},
          {"duration", "occupancy"},
          {"repetitive", "yes"},
          {"held", "yes"},
          {"weigh", "no"},
          {"dead", "12 psf"},
          {"live", "40 psf"}},
         {"grade in SS, #1, #2, #3", "size in 2x4, 2x6, 2x8, 2x10, 2x12, 2x14", "s in 12 in, 16 in, 19.2 in, 24 in"},
         "L from 3 ft to 30 ft"},
    };
    for (const Table& t : tables) {
        io::Disk disk;
        const auto job = stated(disk, t.sheet, t.with);
        double best = 1e9;
        std::size_t reached = 0;
        for (int round = 0; round < 3; ++round) {
            best = std::min(best, seconds([&] {
                                const auto v =
                                    trial::vary(*job, {.over = t.over, .show = {}, .aim = trial::Aim::Largest, .reach = t.reach, .samples = 200}, {});
                                must(v.ok() && v.value().results.points == 96, t.sheet);
                                reached = 0;
                                for (const auto& r : v.value().reached) reached += r.answer > 0.5 ? 1 : 0;
                            }));
        }
        must(reached > 80, "most cells of a span table reach somewhere");
        std::printf("span table of %s, 4 x 6 x 4 cells: %.0f ms (goal 50)\n", t.sheet, best * 1e3);
    }
}

} // namespace spanwright::bench
