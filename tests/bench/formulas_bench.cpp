// SPDX-License-Identifier: MIT
// What a formula costs: twelve chained formulas of a joist by hand, by muParser alone, and through the
// engine one by one and in blocks; and what compiling costs. Results are checked before anything is timed.
#include <benchmark/benchmark.h>
#include <muParser.h>
#include <muParserBase.h>

#include <cmath>
#include <cstdio>
#include <cstdlib>
#include <deque>
#include <map>
#include <memory>
#include <string>
#include <vector>

#include "engine/eval/program.h"
#include "engine/meaning/sheet.h"
#include "native_formulas.h"

using namespace spanwright;
using bench::Joist;
using bench::JoistResults;
using bench::kFormulas;
using eval::Program;
using eval::Value;
using meaning::QuantityId;

namespace {

constexpr std::size_t kLanes = 256;
const char* const kNames[kFormulas] = {"A", "W", "I", "w_d", "M_d", "V_d", "sigma_m", "tau", "k_h", "f_md", "u_m", "w_inst"};

/// `height`: what the rows read as depth: a given `h`, or the field of an each row.
std::string sheetText(const std::string& height, const std::string& more) {
    return "sheet bench\n"
           "given L [m] = 3.6 m\ngiven s [m] = 0.4 m\ngiven b [m] = 0.045 m\ngiven h [m] = 0.22 m\n"
           "given g_k [N/m^2] = 500 N/m^2\ngiven q_k [N/m^2] = 2000 N/m^2\ngiven f_mk [N/m^2] = 24000000 N/m^2\ngiven f_vk [N/m^2] = 4000000 N/m^2\n"
           "given E [N/m^2] = 11000000000 N/m^2\ngiven k_mod = 0.8\ngiven gamma_M = 1.3\ngiven rho [N/m^3] = 4120 N/m^3\n" +
           more + "derive A [m^2] = b*" + height + "\nderive W [m^3] = b*" + height + "*" + height + "/6\nderive I [m^4] = b*" + height + "*" + height + "*" +
           height +
           "/12\n"
           "derive w_d [N/m] = (1.35*(g_k + rho*A/s) + 1.5*q_k)*s\n"
           "derive M_d [N*m] = w_d*L*L/8\nderive V_d [N] = w_d*L/2\nderive sigma_m [N/m^2] = M_d/W\nderive tau [N/m^2] = 1.5*V_d/A\n"
           "derive k_h = min(0.15 m/" +
           height +
           "*1.2, 1.3)\n"
           "derive f_md [N/m^2] = k_h*k_mod*f_mk/gamma_M\nderive u_m = sigma_m/f_md\nderive w_inst [m] = 5*(g_k + q_k)*s*L^4/(384*E*I)\n";
}

struct Loaded {
    meaning::TextPool texts;
    std::shared_ptr<const meaning::Sheet> sheet;
    std::unique_ptr<Program> program;
    eval::MemberValues values;
    std::vector<QuantityId> rows; ///< the twelve, in order

    explicit Loaded(const std::string& text) {
        const auto document = std::make_shared<const syntax::Document>(syntax::Document::read("bench.spansheet", syntax::FileKind::Sheet, text));
        sheet = meaning::analyse(
            document, [](const std::string&) -> base::Result<std::string, diag::Diagnostic> { return base::Failure<diag::Diagnostic>{{}}; }, texts);
        program = std::make_unique<Program>(sheet);
        values.values.resize(sheet->quantities.size());
        // Rows stand in dependency order in these sheets.
        for (std::size_t i = 0; i < sheet->quantities.size(); ++i) values.values[i] = program->evaluate(QuantityId(i), values);
    }
    void pick() {
        for (const char* name : kNames) rows.push_back(sheet->find(name)->id);
    }
    void workAll() {
        for (const QuantityId id : rows) static_cast<void>(program->update(id, values));
    }
};

Loaded& scalarSheet() {
    static Loaded loaded = [] {
        Loaded l(sheetText("h", ""));
        l.pick();
        return l;
    }();
    return loaded;
}

double heightOf(std::size_t lane) { return 0.1 + 0.001 * static_cast<double>(lane); }

Loaded& blockSheet() {
    static Loaded loaded = [] {
        std::string table = "table heights by n\nn, h [m]\n";
        for (std::size_t i = 0; i < kLanes; ++i) table += std::to_string(i) + ", " + std::to_string(heightOf(i)) + "\n";
        Loaded l(sheetText("c.h", "each c in heights\n" + table + "end\n"));
        l.pick();
        return l;
    }();
    return loaded;
}

/// muParser alone: one parser for each formula, the texts that the engine gives it.
struct RawParsers {
    std::deque<mu::Parser> parsers;
    std::vector<double> frame;

    explicit RawParsers(Loaded& l) : frame(l.sheet->quantities.size()) {
        for (std::size_t i = 0; i < frame.size(); ++i) frame[i] = l.values.values[i].one;
        for (const QuantityId id : l.rows) {
            const std::string text = l.program->compiledText(l.sheet->at(id).formula);
            mu::Parser& p = parsers.emplace_back();
            p.EnableOptimizer(false);
            // v0, v1 ... in the order in which the formula first names them
            std::vector<QuantityId> seen;
            gather(l.sheet->exprs, l.sheet->at(id).formula, seen);
            for (std::size_t i = 0; i < seen.size(); ++i) p.DefineVar(std::string("v").append(std::to_string(i)), &frame[seen[i].index()]);
            p.SetExpr(text);
            static_cast<void>(p.Eval());
        }
    }
    static void gather(const meaning::ExprPool& pool, meaning::ExprId id, std::vector<QuantityId>& seen) {
        const meaning::Expr& e = pool.at(id);
        if (e.kind == meaning::ExprKind::Quantity && std::find(seen.begin(), seen.end(), e.quantity) == seen.end()) seen.push_back(e.quantity);
        for (const meaning::ExprId c : e.children) gather(pool, c, seen);
    }
    void workAll(const std::vector<QuantityId>& rows) {
        for (std::size_t i = 0; i < rows.size(); ++i) frame[rows[i].index()] = parsers[i].Eval();
    }
};

Joist joist() {
    Joist j;
    j.L = 3.6;
    j.s = 0.4;
    j.b = 0.045;
    j.h = 0.22;
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

std::vector<double> listed(const JoistResults& r) { return {r.A, r.W, r.I, r.w_d, r.M_d, r.V_d, r.sigma_m, r.tau, r.k_h, r.f_md, r.u_m, r.w_inst}; }

void must(bool fine, const char* what) {
    if (fine) return;
    std::fprintf(stderr, "wrong result, nothing is timed: %s\n", what);
    std::exit(1);
}

void checkResults() {
    Loaded& s = scalarSheet();
    JoistResults byHand;
    joistByHand(joist(), byHand);
    const std::vector<double> hand = listed(byHand);
    s.workAll();
    RawParsers raw(s);
    raw.workAll(s.rows);
    Loaded& b = blockSheet();
    b.workAll();
    std::vector<double> h(kLanes);
    for (std::size_t i = 0; i < kLanes; ++i) h[i] = heightOf(i);
    std::vector<std::vector<double>> many(kFormulas, std::vector<double>(kLanes)), fast = many;
    std::vector<double*> out, outFast;
    for (std::size_t f = 0; f < kFormulas; ++f) {
        out.push_back(many[f].data());
        outFast.push_back(fast[f].data());
    }
    joistsByHand(joist(), h.data(), kLanes, out.data());
    joistsVectorised(joist(), h.data(), kLanes, outFast.data());
    for (std::size_t f = 0; f < kFormulas; ++f) {
        const Value& one = s.values.at(s.rows[f]);
        must(one.known() && std::fabs(one.one - hand[f]) <= 1e-13 * std::fabs(hand[f]), "engine against hand-written");
        must(one.one == raw.frame[s.rows[f].index()], "engine against muParser, to the last bit");
        const Value& all = b.values.at(b.rows[f]);
        must(all.known() && all.many.size() == kLanes, "cases");
        for (std::size_t i = 0; i < kLanes; ++i) {
            must(std::fabs(all.many[i] - many[f][i]) <= 1e-13 * std::fabs(many[f][i]), "blocks against hand-written");
            must(fast[f][i] == many[f][i], "vectorised against plain");
        }
    }
}

// --- one by one ------------------------------------------------------------------------------------

void byHand(benchmark::State& state) {
    Joist j = joist();
    JoistResults r;
    for (auto _ : state) {
        benchmark::DoNotOptimize(j);
        joistByHand(j, r);
        benchmark::DoNotOptimize(r);
    }
}
BENCHMARK(byHand)->Name("one/hand");

void byMuParser(benchmark::State& state) {
    RawParsers raw(scalarSheet());
    double& h = raw.frame[scalarSheet().sheet->find("h")->id.index()];
    for (auto _ : state) {
        h = h == 0.22 ? 0.221 : 0.22; // so that every value changes
        raw.workAll(scalarSheet().rows);
        benchmark::DoNotOptimize(raw.frame.data());
    }
}
BENCHMARK(byMuParser)->Name("one/muparser");

void byEngine(benchmark::State& state) {
    Loaded& s = scalarSheet();
    double& h = s.values.values[s.sheet->find("h")->id.index()].one;
    for (auto _ : state) {
        h = h == 0.22 ? 0.221 : 0.22;
        s.workAll();
        benchmark::DoNotOptimize(s.values.values.data());
    }
}
BENCHMARK(byEngine)->Name("one/engine");

// --- 256 at a time ---------------------------------------------------------------------------------

void blocksByHand(benchmark::State& state, void (*work)(const Joist&, const double*, std::size_t, double* const*)) {
    std::vector<double> h(kLanes);
    for (std::size_t i = 0; i < kLanes; ++i) h[i] = heightOf(i);
    std::vector<std::vector<double>> many(kFormulas, std::vector<double>(kLanes));
    std::vector<double*> out;
    for (auto& m : many) out.push_back(m.data());
    Joist j = joist();
    for (auto _ : state) {
        benchmark::DoNotOptimize(j);
        work(j, h.data(), kLanes, out.data());
        benchmark::ClobberMemory();
    }
}
BENCHMARK_CAPTURE(blocksByHand, plain, bench::joistsByHand)->Name("block/hand");
BENCHMARK_CAPTURE(blocksByHand, vectorised, bench::joistsVectorised)->Name("block/hand-vectorised");

void blocksByEngine(benchmark::State& state) {
    Loaded& b = blockSheet();
    for (auto _ : state) {
        b.workAll();
        benchmark::DoNotOptimize(b.values.values.data());
    }
}
BENCHMARK(blocksByEngine)->Name("block/engine");

void lanesOneByOne(benchmark::State& state) {
    Loaded& b = blockSheet();
    b.program->useBlocks(false);
    for (auto _ : state) {
        b.workAll();
        benchmark::DoNotOptimize(b.values.values.data());
    }
    b.program->useBlocks(true);
}
BENCHMARK(lanesOneByOne)->Name("block/engine-one-by-one");

// --- compiling -------------------------------------------------------------------------------------

constexpr int kDistinct = 10'000;

void compileDistinct(benchmark::State& state) {
    std::string text = "sheet many\ngiven r0 = 1.5\ngiven k = 0.3\n";
    for (int i = 1; i <= kDistinct; ++i) {
        text += "derive r" + std::to_string(i) + " = (r" + std::to_string(i - 1) + "*" + std::to_string(i % 97 + 1) + " + k*" + std::to_string(i) + ")/(k + " +
                std::to_string(i + 100) + ")\n";
    }
    Loaded l(text);
    must(l.values.values.back().known(), "distinct formulas");
    for (auto _ : state) {
        Program fresh(l.sheet);
        for (std::size_t i = 0; i < l.sheet->quantities.size(); ++i) benchmark::DoNotOptimize(fresh.evaluate(QuantityId(i), l.values));
    }
    state.counters["per formula"] = benchmark::Counter(kDistinct, benchmark::Counter::kIsIterationInvariantRate | benchmark::Counter::kInvert);
}
BENCHMARK(compileDistinct)->Name("compile and evaluate 10,000 distinct formulas")->Unit(benchmark::kMillisecond);

/// Prints what matters after the plain list: how many times as long.
class Ratios : public benchmark::ConsoleReporter {
public:
    void ReportRuns(const std::vector<Run>& runs) override {
        ConsoleReporter::ReportRuns(runs);
        for (const Run& r : runs) {
            if (r.run_type == Run::RT_Iteration || r.aggregate_name == "median") m_time[r.run_name.function_name] = r.GetAdjustedCPUTime();
        }
    }
    void Finalize() override {
        ConsoleReporter::Finalize();
        std::printf("\nper formula, and as a multiple of the yardstick in the same run\n");
        ratio("one/engine", "one/muparser", 1.0, "goal 1.3");
        ratio("one/engine", "one/hand", 1.0, "");
        ratio("one/muparser", "one/hand", 1.0, "");
        ratio("block/engine", "block/hand", kLanes, "goal 2");
        ratio("block/engine", "block/hand-vectorised", kLanes, "");
        ratio("block/engine-one-by-one", "block/hand", kLanes, "");
    }

private:
    void ratio(const char* what, const char* yardstick, double lanes, const char* goal) {
        if (m_time.count(what) == 0 || m_time.count(yardstick) == 0) return;
        const double per = m_time[what] / (kFormulas * lanes), unit = m_time[yardstick] / (kFormulas * lanes);
        std::printf("%-24s %8.2f ns   %6.2f x %s (%.2f ns)  %s\n", what, per, per / unit, yardstick, unit, goal);
    }
    std::map<std::string, double> m_time;
};

} // namespace

int main(int argc, char** argv) {
    checkResults();
    benchmark::Initialize(&argc, argv);
    if (benchmark::ReportUnrecognizedArguments(argc, argv)) return 2;
    Ratios reporter;
    benchmark::RunSpecifiedBenchmarks(&reporter);
    benchmark::Shutdown();
    return 0;
}
