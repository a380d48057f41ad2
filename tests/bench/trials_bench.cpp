// SPDX-License-Identifier: MIT
// Trials: points a second against the same calculation written by hand, one core against two, span tables, and a
// million samples. Results are checked before anything is timed; every ratio is between neighbours in one run.
#include <algorithm>
#include <cmath>
#include <cstdio>
#include <string_view>
#include <thread>

#include "engine/base/large_pages.h"
#include "engine/eval/points.h"
#include "engine/io/files.h"
#include "engine/trial/tolerance.h"
#include "engine/trial/vary.h"
#include "native_formulas.h"
#include "native_joist.h"
#include "ready_joists_bench.h"
#include "timing.h"

using namespace spanwright;
using bench::must;
using bench::seconds;
using bench::side;

namespace {

const char* const kChain =
    "sheet bench\n"
    "given L [m] = 3.6 m\ngiven s [m] = 0.4 m\ngiven b [m] = 0.045 m\ngiven h [m] = 0.22 m\n"
    "given g_k [N/m^2] = 500 N/m^2\ngiven q_k [N/m^2] = 2000 N/m^2\ngiven f_mk [N/m^2] = 24000000 N/m^2\ngiven f_vk [N/m^2] = 4000000 N/m^2\n"
    "given E [N/m^2] = 11000000000 N/m^2\ngiven k_mod = 0.8\ngiven gamma_M = 1.3\ngiven rho [N/m^3] = 4120 N/m^3\n"
    "derive A [m^2] = b*h\nderive W [m^3] = b*h*h/6\nderive I [m^4] = b*h*h*h/12\n"
    "derive w_d [N/m] = (1.35*(g_k + rho*A/s) + 1.5*q_k)*s\n"
    "derive M_d [N*m] = w_d*L*L/8\nderive V_d [N] = w_d*L/2\nderive sigma_m [N/m^2] = M_d/W\nderive tau [N/m^2] = 1.5*V_d/A\n"
    "derive k_h = min(0.15 m/h*1.2, 1.3)\n"
    "derive f_md [N/m^2] = k_h*k_mod*f_mk/gamma_M\nderive u_m = sigma_m/f_md\nderive w_inst [m] = 5*(g_k + q_k)*s*L^4/(384*E*I)\n";
const char* const kRows[bench::kFormulas] = {"A", "W", "I", "w_d", "M_d", "V_d", "sigma_m", "tau", "k_h", "f_md", "u_m", "w_inst"};

bench::Joist joist() {
    bench::Joist j;
    j.L = 3.6;
    j.s = 0.4;
    j.b = 0.045;
    j.g_k = 500;
    j.q_k = 2000;
    j.f_mk = 24e6;
    j.f_vk = 4e6;
    j.E = 11e9;
    j.k_mod = 0.8;
    j.gamma_M = 1.3;
    j.rho = 4120;
    return j;
}

/// Twelve rows of 256 points in lanes against the same by hand, on one core.
void chain() {
    meaning::TextPool texts;
    const auto document = std::make_shared<const syntax::Document>(syntax::Document::read("bench.spansheet", syntax::FileKind::Sheet, kChain));
    const auto sheet = meaning::analyse(
        document, [](const std::string&) -> base::Result<std::string, diag::Diagnostic> { return base::Failure<diag::Diagnostic>{{}}; }, texts);
    eval::Program program(sheet);
    eval::MemberValues values;
    values.values.resize(sheet->quantities.size());
    for (std::size_t i = 0; i < sheet->quantities.size(); ++i) values.values[i] = program.evaluate(meaning::QuantityId(i), values);
    std::vector<meaning::QuantityId> rows{sheet->find("h")->id}, work;
    for (const char* name : kRows) {
        const meaning::QuantityId id = sheet->find(name)->id;
        work.push_back(id);
        rows.push_back(id);
    }
    eval::PointProgram points(sheet, values);
    points.setVarying(rows);
    points.setPoints(eval::kPoints);
    eval::PointRow& h = points.row(rows.front());
    h.numbers.resize(eval::kPoints);
    std::vector<double> heights(eval::kPoints);
    for (std::size_t i = 0; i < eval::kPoints; ++i) h.numbers[i] = heights[i] = 0.1 + 0.001 * static_cast<double>(i);
    h.setAll(eval::State::Known, eval::kPoints);
    const bench::Joist in = joist();
    std::vector<std::vector<double>> out(bench::kFormulas, std::vector<double>(eval::kPoints));
    std::vector<double*> to;
    for (auto& o : out) to.push_back(o.data());
    bench::joistsByHand(in, heights.data(), eval::kPoints, to.data());
    for (const auto id : work) points.work(id);
    for (std::size_t f = 0; f < bench::kFormulas; ++f)
        for (std::size_t i = 0; i < eval::kPoints; ++i)
            must(std::fabs(points.row(work[f]).numbers[i] - out[f][i]) <= 1e-13 * std::fabs(out[f][i]), "twelve formulas");
    constexpr int kTimes = 4000;
    const auto [hand, engine] = side(
        [&] {
            for (int t = 0; t < kTimes; ++t) bench::joistsByHand(in, heights.data(), eval::kPoints, to.data());
        },
        [&] {
            for (int t = 0; t < kTimes; ++t)
                for (const auto id : work) points.work(id);
        },
        21);
    const double each = kTimes * static_cast<double>(bench::kFormulas * eval::kPoints) * 1e-9;
    std::printf("twelve formulas, one core: by hand %.2f ns, in lanes %.2f ns a formula: %.2f x (goal 1.5)\n", hand / each, engine / each, engine / hand);
}

std::unique_ptr<job::Job> opened(io::Files& files, const std::string& path) {
    return job::Job::open(files, path, {.library = std::string(SPANWRIGHT_SOURCE_DIR) + "/sheets", .cancelled = {}});
}

trial::Fill evenly(double from, double to, std::size_t n) {
    return [=](std::size_t first, std::size_t count, double* const* out) {
        for (std::size_t i = 0; i < count; ++i) out[0][i] = from + (to - from) * static_cast<double>(first + i) / static_cast<double>(n - 1);
    };
}

/// A whole joist with combinations, reductions, tables, parts and five checks, verdicts included, against the same by hand.
void joistSheet() {
    io::Memory files;
    files.files["joist.spansheet"] = bench::kJoistSheet;
    const auto job = opened(files, "joist.spansheet");
    auto made = trial::Trial::of(*job, {{"joist", "h"}}, {{"joist", "M_d"}, {"joist", "w_fin"}, {"joist", "bending"}});
    must(made.ok(), "the joist's sheet");
    const trial::Trial& t = made.value();
    constexpr std::size_t n = 200'000;
    std::vector<double> h(n);
    const auto fill = evenly(0.1, 0.3, n);
    double* into[] = {h.data()};
    fill(0, n, into);
    std::vector<bench::JoistAnswer> by(n);
    bench::joistSheetByHand(h.data(), n, by.data());
    const trial::Results r = t.run(n, fill, {.threads = 1, .progress = {}});
    std::size_t passing = 0;
    for (std::size_t i = 0; i < n; ++i) {
        must(std::fabs(r.shown[0][i] - by[i].M_d) <= 1e-12 * by[i].M_d && std::fabs(r.shown[1][i] - by[i].w_fin) <= 1e-12 * by[i].w_fin &&
                 std::fabs(r.utilisation[i] - by[i].utilisation) <= 1e-12 * by[i].utilisation && (r.verdicts[i] == job::Verdict::Ok) == by[i].passes,
             "a whole joist");
        passing += by[i].passes ? 1 : 0;
    }
    must(passing > n / 10 && passing < n, "some pass, some do not");
    const auto [hand, one] =
        side([&] { bench::joistSheetByHand(h.data(), n, by.data()); }, [&] { static_cast<void>(t.run(n, fill, {.threads = 1, .progress = {}})); }, 9);
    std::printf("whole joist sheet (%zu rows downstream), one core: by hand %.0f ns, trial %.0f ns a point: %.2f x (goal 2)\n", t.rowsDownstream(),
                hand / n * 1e9, one / n * 1e9, one / hand);
    constexpr std::size_t many = 2'000'000;
    const auto wide = evenly(0.1, 0.3, many);
    const auto [single, both] = side([&] { static_cast<void>(t.run(many, wide, {.threads = 1, .progress = {}})); },
                                     [&] { static_cast<void>(t.run(many, wide, {.threads = 2, .progress = {}})); }, 5);
    std::printf("two million points of it: one core %.2f s, two cores %.2f s: %.2f x as fast (goal 1.8)\n", single, both, single / both);
    const double table = seconds([&] {
        const auto v =
            trial::vary(*job,
                        {.over = {"grade in C18, C24, C27, C30", "h in 145 mm, 170 mm, 195 mm, 220 mm, 245 mm, 270 mm", "s in 300 mm, 400 mm, 500 mm, 600 mm"},
                         .show = {},
                         .aim = trial::Aim::Largest,
                         .reach = "L from 1 m to 9 m",
                         .samples = 200},
                        {});
        must(v.ok() && v.value().results.points == 96 && v.value().reached[95].answer > 1.0, "the span table");
    });
    std::printf("span table, 4 grades x 6 depths x 4 spacings, formulas compiled anew: %.0f ms (goal 50)\n", table * 1e3);
}

/// The strength of a beam that rises to a ridge, at 200 stations, a million samples.
void stations() {
    std::string sheet = "sheet ridge\ntable stations by n\nn, share\n";
    for (int i = 0; i < 200; ++i) sheet += std::to_string(i) + ", " + std::to_string((i + 0.5) / 200) + "\n";
    sheet += "end\neach st in stations\ngiven L = 9 m\ngiven w [kN/m] = 4 kN/m\ngiven h_e = 300 mm +- 3 mm\ngiven h_r = 620 mm +- 3 mm\ngiven b = 58 mm +- 3 "
             "mm\ngiven h_f = 90 mm +- 2 mm\ngiven b_w = 12 mm\n"
             "given f_c [N/mm^2] = 16 N/mm^2\ngiven f_m [N/mm^2] = 19 N/mm^2\ngiven f_v [N/mm^2] = 4 N/mm^2\n"
             "derive h [mm] = h_e + (h_r - h_e)*(1 - abs(2*st.share - 1))\nderive M [kN*m] = w*L^2/2*st.share*(1 - st.share)\nderive V [kN] = w*L*abs(0.5 - "
             "st.share)\n"
             "derive I [mm^4] = b*(h^3 - (h - 2*h_f)^3)/12 + b_w*(h - 2*h_f)^3/12\nderive S [mm^3] = b*h_f*(h - h_f)/2 + b_w*(h - 2*h_f)^2/8\n"
             "derive V_w [kN] = V - 2*(h_r - h_e)/L*M/(h - h_f)\nderive sigma_c [N/mm^2] = M*(h - h_f)/2/I\nderive sigma_m [N/mm^2] = M*h/2/I\nderive tau "
             "[N/mm^2] = abs(V_w)*S/(I*b_w)\n"
             "check squeezed: sigma_c <= f_c\ncheck edge: sigma_m <= f_m\ncheck web: tau <= f_v\n";
    io::Memory files;
    files.files["ridge.spansheet"] = sheet;
    const auto job = opened(files, "ridge.spansheet");
    auto made = trial::Trial::of(*job, {{"ridge", "h_e"}, {"ridge", "h_r"}, {"ridge", "b"}, {"ridge", "h_f"}}, {});
    must(made.ok(), "the ridge beam");
    const trial::Trial& t = made.value();
    const double half[] = {0.003, 0.003, 0.003, 0.002};
    const trial::Fill fill = [&](std::size_t first, std::size_t count, double* const* out) {
        for (std::size_t d = 0; d < 4; ++d)
            for (std::size_t i = 0; i < count; ++i) {
                std::uint64_t z = (first + i) * 4 + d + 1;
                z *= 0x9e3779b97f4a7c15U;
                z ^= z >> 29U;
                z *= 0xbf58476d1ce4e5b9U;
                out[d][i] = *t.varied()[d].now + half[d] * (static_cast<double>(z >> 11U) * 0x1p-52 - 1.0);
            }
    };
    const trial::Results few = t.run(1000, fill, {});
    must(std::all_of(few.verdicts.begin(), few.verdicts.end(), [](job::Verdict v) { return v == job::Verdict::Ok || v == job::Verdict::Fails; }), "stations");
    constexpr std::size_t n = 1'000'000;
    const double one = seconds([&] { static_cast<void>(t.run(n, fill, {.threads = 1, .progress = {}})); });
    const double all = seconds([&] { static_cast<void>(t.run(n, fill, {})); });
    std::printf("a million samples of a ridge beam by 200 stations: one core %.1f s, all cores %.1f s (goal 20)\n", one, all);
}

/// The ready ridge beam of the example within its tolerances, a million samples, most of them read off surfaces.
void readyRidge() {
    io::Disk disk;
    const auto job = opened(disk, std::string(SPANWRIGHT_SOURCE_DIR) + "/examples/packing-shed/packing-shed.spanjob");
    auto plan = trial::planTolerance(*job, *job->memberByMark("R1"));
    must(plan.ok() && !plan.value().all.empty(), "the ready ridge beam");
    // Before it is timed: 400 of the samples calculated, each against what is read off.
    const trial::Trial& t = plan.value().all.front();
    std::size_t m = 0;
    for (std::size_t i = 0; i < t.members().size(); ++i)
        if (t.members()[i].index == plan.value().member) m = i;
    std::vector<std::uint32_t> checks;
    for (std::uint32_t c = 0; c < t.checks().size(); ++c)
        if (t.checks()[c].member == m && !t.checks()[c].isRequire) checks.push_back(c);
    trial::SamplingRequest request{{}, {}, 1'000'000, 1, false, false};
    for (const trial::Varied& v : t.varied()) {
        request.centre.push_back(*v.now);
        request.half.push_back(*v.tolerance);
    }
    const trial::Sampled read = trial::sample(t, m, checks, request, {});
    must(read.readOff.has_value(), "samples read off");
    request.samples = 400;
    request.workOutAll = true;
    const trial::Sampled all = trial::sample(t, m, checks, request, {});
    double off = 0.0;
    for (std::size_t c = 0; c < checks.size(); ++c)
        for (std::size_t i = 0; i < all.samples; ++i)
            if (!std::isnan(all.checks[c].samples[i])) off = std::max(off, std::fabs(all.checks[c].samples[i] - read.checks[c].samples[i]));
    must(off < 1e-4, "read off and calculated");
    const double calculated = seconds([&] { static_cast<void>(trial::sample(t, m, checks, request, {})); });
    const auto million = [&](unsigned threads) {
        return seconds([&] { static_cast<void>(trial::tolerance(plan.value(), {.samples = 1'000'000}, {.threads = threads, .progress = {}})); });
    };
    const double one = million(1), two = million(0);
    std::printf("a million samples of the ready ridge beam, %zu checks: one core %.1f s, all cores %.1f s (goal 20); %zu places calculated, "
                "400 samples calculated beside them off by %.1g at most; those 400 take %.2f s\n",
                read.checks.size(), one, two, read.workedOut, off, calculated);
}

/// What the ready sheets cost as they are: beams solved anew and searched along their length at each point.
void readySheets() {
    io::Disk disk;
    const auto job = opened(disk, std::string(SPANWRIGHT_SOURCE_DIR) + "/examples/packing-shed/packing-shed.spanjob");
    for (std::size_t m = 0; m < job->memberCount(); ++m) {
        const job::MemberView& view = job->member(m);
        std::string name;
        for (const char* candidate : {"b", "h_f", "b_f", "b_g", "d"})
            if (const meaning::Quantity* q = job->sheet(m).find(candidate);
                q != nullptr && name.empty() && (q->kind == meaning::Kind::Given || q->kind == meaning::Kind::Ask))
                name = candidate;
        if (name.empty()) continue;
        auto made = trial::Trial::of(*job, {{view.mark, name}}, {});
        if (!made || !made.value().varied()[0].now || made.value().members().size() > 1) continue;
        const double now = *made.value().varied()[0].now;
        std::size_t n = 4;
        double time = 0.0;
        for (; n < 1'000'000; n *= 4) {
            time = seconds([&] { static_cast<void>(made.value().run(n, evenly(now * 0.97, now * 1.03, n), {.threads = 1, .progress = {}})); });
            if (time > 0.2) break;
        }
        std::printf("  %-4s %-24s %-4s %4zu rows: %10.2f us a point on one core\n", view.mark.c_str(), view.sheetName.c_str(), name.c_str(),
                    made.value().rowsDownstream(), time / static_cast<double>(n) * 1e6);
    }
}

} // namespace

int main(int argc, char** argv) {
    base::useLargePages(); // as the programs do
    if (argc > 1 && std::string_view(argv[1]) == "joists") { // what is looked at most
        bench::readyJoistsByHand();
        return 0;
    }
    std::printf("%u cores\n", std::thread::hardware_concurrency());
    chain();
    joistSheet();
    stations();
    readyRidge();
    bench::readyJoistsByHand();
    bench::readySpanTables();
    std::printf("ready sheets as they stand in the example\n");
    readySheets();
    return 0;
}
