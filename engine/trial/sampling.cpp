// SPDX-License-Identifier: MIT
#include "engine/trial/sampling.h"

#include <algorithm>
#include <atomic>
#include <cmath>
#include <limits>
#include <numbers>
#include <thread>

#include "engine/trial/response_surface.h"
#include "engine/trial/worker.h"

namespace spanwright::trial {

double evenNumber(std::uint64_t seed, std::uint64_t point, std::uint64_t dimension) {
    // SplitMix64 (Steele, Lea, Flood, "Fast splittable pseudorandom number generators", 2014) as a mixing function.
    const auto mix = [](std::uint64_t z) {
        z += 0x9e3779b97f4a7c15U;
        z = (z ^ (z >> 30U)) * 0xbf58476d1ce4e5b9U;
        z = (z ^ (z >> 27U)) * 0x94d049bb133111ebU;
        return z ^ (z >> 31U);
    };
    const std::uint64_t bits = mix(mix(mix(seed) ^ point) ^ (dimension * 0xd1342543de82ef95U));
    return (static_cast<double>(bits >> 11U) + 0.5) * 0x1p-53;
}

namespace {

constexpr double kNone = std::numeric_limits<double>::quiet_NaN();
constexpr std::size_t kUsual = 10'000;
/// Where samples were asked for in number, they are all worked out up to this, some ten seconds of one core.
constexpr std::uint64_t kAllWork = 100 * kSamplingWork;
/// What places for surfaces may take then.
constexpr std::uint64_t kSurfaceWork = 30 * kSamplingWork;
/// A utilisation is shown by two places, here and there by three.
constexpr double kGood = 0.0005, kFine = 1e-6;
constexpr unsigned kMostDegree = 7;
constexpr std::size_t kMostTerms = 400;
constexpr std::size_t kMostVariables = 12;
/// Surfaces of normally distributed values reach so many half tolerances: five standard deviations.
constexpr double kNormalReach = 2.5;

/// The i-th number of a sequence that fills 0 to 1 evenly (van der Corput; several bases together: Halton, 1960).
double evenlyFilled(std::size_t i, std::size_t base) {
    double f = 1.0, r = 0.0;
    for (; i > 0; i /= base) {
        f /= static_cast<double>(base);
        r += f * static_cast<double>(i % base);
    }
    return r;
}

class Sampler {
public:
    Sampler(const Trial& trial, std::size_t member, const std::vector<std::uint32_t>& checks, const SamplingRequest& request, const Control& control)
        : m_trial(trial), m_member(member), m_checks(checks), m_request(request), m_control(control), m_variables(request.centre.size()) {}

    Sampled run() {
        const std::uint64_t each = workOf(m_trial);
        const std::size_t wanted = std::min(m_request.samples == 0 ? kUsual : m_request.samples, kMostPoints / 2);
        // Corners, where the worst most often is.
        m_out.corners = m_variables <= kMostVariables ? std::size_t{1} << m_variables : 0;
        if (m_out.corners * each > kSamplingWork && m_out.corners > 64) m_out.corners = 0;
        const std::uint64_t may = m_request.samples == 0 ? kSamplingWork : kAllWork;
        const bool quick = m_request.workOutAll || wanted <= may / each;
        if (!quick) {
            m_out.samples = wanted;
            if (readOffSamples((m_request.samples == 0 ? kSamplingWork : kSurfaceWork) / each)) return std::move(m_out);
            if (m_out.cancelled) return std::move(m_out);
        }
        m_out.samples = wanted;
        if (m_request.samples == 0 && !m_request.workOutAll) m_out.samples = std::clamp<std::size_t>(kSamplingWork / each, 20, kUsual);
        m_out.fewer = m_out.samples < wanted;
        workOutSamples();
        return std::move(m_out);
    }

private:
    /// Places that were worked out.
    struct Places {
        std::vector<std::vector<double>> at;          ///< by variable
        std::vector<std::vector<double>> utilisation; ///< by check
        std::vector<Verdict> verdicts;
        [[nodiscard]] std::size_t count() const { return verdicts.size(); }
    };

    const Trial& m_trial;
    const std::size_t m_member;
    const std::vector<std::uint32_t>& m_checks;
    const SamplingRequest& m_request;
    const Control& m_control;
    const std::size_t m_variables;
    Sampled m_out;

    /// Sample `i` in units of half tolerances from the middle.
    [[nodiscard]] double sampleAt(std::size_t i, std::size_t variable) const {
        const std::uint64_t seed = m_request.seed;
        if (!m_request.normal) return 2.0 * evenNumber(seed, i, variable) - 1.0;
        const double a = evenNumber(seed, i, 2 * variable), b = evenNumber(seed, i, 2 * variable + 1);
        return 0.5 * std::sqrt(-2.0 * std::log(a)) * std::cos(2.0 * std::numbers::pi * b); // Box and Muller, 1958
    }
    [[nodiscard]] double valueOf(std::size_t variable, double t) const { return m_request.centre[variable] + t * m_request.half[variable]; }
    [[nodiscard]] static double cornerAt(std::size_t i, std::size_t variable) { return ((i >> variable) & 1U) != 0 ? 1.0 : -1.0; }
    [[nodiscard]] static bool fails(double u) { return u > 1.0 + job::kCheckSlack; }

    /// Takes note of a place that was worked out, within the tolerances.
    void look(SampledCheck& c, double u, const std::vector<double>& at) const {
        ++c.places;
        if (std::isnan(u)) {
            ++c.without;
        } else if (c.at.empty() || u > c.worst) {
            c.worst = u;
            c.at = at;
        }
    }
    /// Every sample, after the corners and the middle, in one run.
    void workOutSamples() {
        m_out.checks.clear();
        const std::size_t first = m_out.corners + 1, points = first + m_out.samples;
        const auto valueAt = [&](std::size_t p, std::size_t d) {
            return valueOf(d, p < m_out.corners ? cornerAt(p, d) : p < first ? 0.0 : sampleAt(p - first, d));
        };
        const Fill fill = [&](std::size_t from, std::size_t count, double* const* into) {
            for (std::size_t d = 0; d < m_variables; ++d)
                for (std::size_t i = 0; i < count; ++i) into[d][i] = valueAt(from + i, d);
        };
        Results r = m_trial.run(points, fill, m_control, true);
        m_out.cancelled = r.cancelled;
        if (r.cancelled) return;
        m_out.workedOut = points;
        for (std::size_t p = first; p < points; ++p) m_out.okay += r.members[m_member][p] == Verdict::Ok ? 1 : 0;
        for (const std::uint32_t check : m_checks) {
            const Column<double>& u = r.byCheck[check];
            SampledCheck c;
            c.now = u[m_out.corners];
            // Under a normal distribution samples may lie outside the box: they say nothing of the worst case within it.
            const std::size_t inside = m_request.normal ? first : points;
            std::size_t worst = 0;
            for (std::size_t p = 0; p < inside; ++p) {
                ++c.places;
                if (std::isnan(u[p])) ++c.without;
                if (!std::isnan(u[p]) && !(u[p] <= u[worst])) worst = p;
            }
            c.worst = u[worst];
            for (std::size_t d = 0; d < m_variables; ++d) c.at.push_back(valueAt(worst, d));
            c.samples.assign(u.begin() + static_cast<std::ptrdiff_t>(first), u.end());
            for (const double v : c.samples) c.failing += fails(v) ? 1 : 0;
            m_out.checks.push_back(std::move(c));
        }
    }

    /// Works out more places; false when cancelled.
    bool workOut(const std::vector<std::vector<double>>& at, Places& into, std::size_t most) {
        const std::size_t before = into.count();
        const Fill fill = [&](std::size_t first, std::size_t count, double* const* out) {
            for (std::size_t d = 0; d < m_variables; ++d)
                for (std::size_t i = 0; i < count; ++i) out[d][i] = valueOf(d, at[d][first + i]);
        };
        Control part = m_control;
        const std::size_t done = m_out.workedOut;
        if (m_control.progress) part.progress = [&](std::size_t n, std::size_t) { return m_control.progress(std::min(done + n, most - 1), most); };
        const Results r = m_trial.run(at.front().size(), fill, part, true);
        if (r.cancelled) {
            m_out.cancelled = true;
            return false;
        }
        into.at.resize(m_variables);
        into.utilisation.resize(m_checks.size());
        for (std::size_t d = 0; d < m_variables; ++d) into.at[d].insert(into.at[d].end(), at[d].begin(), at[d].end());
        for (std::size_t c = 0; c < m_checks.size(); ++c)
            into.utilisation[c].insert(into.utilisation[c].end(), r.byCheck[m_checks[c]].begin(), r.byCheck[m_checks[c]].end());
        into.verdicts.insert(into.verdicts.end(), r.members[m_member].begin(), r.members[m_member].end());
        m_out.workedOut += r.points;
        // What lies within the tolerances may be the worst.
        std::vector<double> values(m_variables);
        for (std::size_t p = before; p < into.count(); ++p) {
            bool inside = true;
            for (std::size_t d = 0; d < m_variables; ++d) {
                values[d] = valueOf(d, into.at[d][p]);
                inside = inside && std::fabs(into.at[d][p]) <= 1.0;
            }
            for (std::size_t c = 0; inside && c < m_checks.size(); ++c) look(m_out.checks[c], into.utilisation[c][p], values);
        }
        return true;
    }

    /// Whether utilisations alone decide at these places: a check is computed everywhere or nowhere, and all places without a failing one have the same
    /// verdict, and so have all with one.
    [[nodiscard]] bool decidedByUtilisation(const Places& places) {
        for (std::size_t p = 0; p < places.count(); ++p) {
            bool failing = false;
            for (std::size_t c = 0; c < m_checks.size(); ++c) {
                const double u = places.utilisation[c][p];
                if (std::isinf(u) || std::isnan(u) != std::isnan(m_out.checks[c].now)) return false;
                failing = failing || fails(u);
            }
            std::optional<Verdict>& said = failing ? m_failing : m_passing;
            if (!said) said = places.verdicts[p];
            if (*said != places.verdicts[p]) return false;
        }
        return !m_failing || *m_failing >= Verdict::Fails;
    }
    std::optional<Verdict> m_passing, m_failing; ///< of the member where no check fails, where one does

    [[nodiscard]] std::vector<std::vector<double>> samplesAt(std::size_t first, std::size_t count) const {
        std::vector<std::vector<double>> at(m_variables, std::vector<double>(count));
        for (std::size_t d = 0; d < m_variables; ++d)
            for (std::size_t i = 0; i < count; ++i) at[d][i] = sampleAt(first + i, d);
        return at;
    }
    [[nodiscard]] double reach() const { return m_request.normal ? kNormalReach : 1.0; }

    /// The surfaces of the checks that are computed, through `places`; without a value where they cannot be fitted.
    [[nodiscard]] std::optional<ResponseSurface> surfaceThrough(const Places& places, unsigned degree) const {
        std::vector<std::vector<double>> at = places.at, values;
        for (auto& column : at)
            for (double& t : column) t /= reach();
        for (std::size_t c = 0; c < m_checks.size(); ++c)
            if (!std::isnan(m_out.checks[c].now)) values.push_back(places.utilisation[c]);
        ResponseSurface s(degree, at, values);
        if (!s.ok()) return {};
        return s;
    }
    /// Utilisations by check at places in half tolerances; of a check that is not computed NaN.
    void readOff(const ResponseSurface& s, const std::vector<std::vector<double>>& at, const std::vector<double*>& out) const {
        const std::size_t count = at.front().size();
        std::vector<std::vector<double>> scaled = at;
        std::vector<const double*> from;
        for (auto& column : scaled) {
            for (double& t : column) t /= reach();
            from.push_back(column.data());
        }
        std::vector<double*> to;
        for (std::size_t c = 0; c < m_checks.size(); ++c) {
            if (std::isnan(m_out.checks[c].now))
                std::fill_n(out[c], count, kNone);
            else
                to.push_back(out[c]);
        }
        s.at(count, from, to);
    }
    /// The greatest difference from what was worked out.
    [[nodiscard]] double offAt(const ResponseSurface& s, const Places& places) const {
        std::vector<std::vector<double>> read(m_checks.size(), std::vector<double>(places.count()));
        std::vector<double*> to;
        for (auto& r : read) to.push_back(r.data());
        readOff(s, places.at, to);
        double off = 0.0;
        for (std::size_t c = 0; c < m_checks.size(); ++c)
            for (std::size_t p = 0; p < places.count(); ++p)
                if (!std::isnan(m_out.checks[c].now)) off = std::max(off, std::fabs(read[c][p] - places.utilisation[c][p]));
        return off;
    }

    /// Samples read off surfaces through at most `most` places worked out. False where that cannot be done well, or was cancelled.
    bool readOffSamples(std::uint64_t most) {
        if (m_variables > kMostVariables || m_checks.empty()) return false;
        most = std::min<std::uint64_t>(most, m_out.samples / 2);
        // Where a requirement or a limit ends things within the box, it most often does so at a corner: surfaces need them all.
        if (std::size_t{1} << m_variables > most / 2) return false;
        m_out.corners = std::size_t{1} << m_variables;
        // What a degree takes: twice as many places as terms, and a third of that or an eighth of all to hold them against.
        const auto places = [&](unsigned degree) { return 2 * ResponseSurface::termsOf(m_variables, degree); };
        const auto held = [&](unsigned degree) { return std::clamp<std::size_t>(std::max<std::size_t>(places(degree) / 3, most / 8), 12, 300); };
        const auto takes = [&](unsigned degree) { return m_out.corners + 1 + places(degree) + held(degree); };
        if (takes(2) > most) return false;
        m_out.checks.assign(m_checks.size(), {});
        for (SampledCheck& c : m_out.checks) c.worst = kNone;
        Places through, beside;
        std::vector<std::vector<double>> at(m_variables, std::vector<double>(m_out.corners + 1, 0.0));
        for (std::size_t i = 0; i < m_out.corners; ++i)
            for (std::size_t d = 0; d < m_variables; ++d) at[d][i] = cornerAt(i, d);
        if (!workOut(at, through, most)) return false;
        for (std::size_t c = 0; c < m_checks.size(); ++c) m_out.checks[c].now = through.utilisation[c].back();
        if (!decidedByUtilisation(through)) return false;
        constexpr std::size_t kBases[kMostVariables] = {2, 3, 5, 7, 11, 13, 17, 19, 23, 29, 31, 37};
        std::optional<ResponseSurface> best;
        ReadOff how;
        std::size_t nodes = 0;
        for (unsigned degree = 2; degree <= kMostDegree && ResponseSurface::termsOf(m_variables, degree) <= kMostTerms && takes(degree) <= most; ++degree) {
            // More of them towards the ends, as polynomials need it.
            for (auto& column : at) column.clear();
            for (; nodes < places(degree); ++nodes)
                for (std::size_t d = 0; d < m_variables; ++d) at[d].push_back(reach() * std::cos(std::numbers::pi * evenlyFilled(nodes + 1, kBases[d])));
            if (!workOut(at, through, most) || !decidedByUtilisation(through)) return false;
            if (held(degree) > beside.count() &&
                (!workOut(samplesAt(beside.count(), held(degree) - beside.count()), beside, most) || !decidedByUtilisation(beside)))
                return false;
            auto s = surfaceThrough(through, degree);
            if (!s) return false;
            const double off = std::max(offAt(*s, beside), offAt(*s, through));
            if (!best || off < how.off) {
                best = std::move(s);
                how = {through.count(), 0, degree, off};
            }
            if (how.off <= kFine) break;
        }
        if (!best) return false;
        // The best of them is held against all that was calculated, whatever that was for.
        how.held = beside.count() + through.count() - how.through;
        how.off = std::max(offAt(*best, beside), offAt(*best, through));
        if (!(how.off <= kGood)) return false;
        readAll(*best);
        if (!workOutSome(*best, beside, most, how)) return false;
        m_out.readOff = how;
        judge(how.off);
        return true;
    }

    /// All samples, on all threads.
    void readAll(const ResponseSurface& s) {
        for (SampledCheck& c : m_out.checks) c.samples.resize(m_out.samples);
        constexpr std::size_t kBlock = 4096;
        std::atomic<std::size_t> next{0};
        const auto loop = [&] {
            std::vector<double*> to(m_checks.size());
            for (std::size_t first = next.fetch_add(kBlock); first < m_out.samples; first = next.fetch_add(kBlock)) {
                for (std::size_t c = 0; c < to.size(); ++c) to[c] = m_out.checks[c].samples.data() + first;
                readOff(s, samplesAt(first, std::min(kBlock, m_out.samples - first)), to);
            }
        };
        const unsigned threads = m_control.threads != 0 ? m_control.threads : std::max(1U, std::thread::hardware_concurrency());
        std::vector<std::thread> others;
        for (unsigned t = 1; t < threads && t * kBlock < m_out.samples; ++t) others.emplace_back(loop);
        loop();
        for (std::thread& t : others) t.join();
    }

    /// Samples that are worked out all the same: those that the surfaces were held against, those beyond the surfaces, and of each check the one that looks
    /// worst.
    bool workOutSome(const ResponseSurface& s, const Places& beside, std::size_t most, ReadOff& how) {
        m_exact.assign(m_out.samples, 0);
        const auto put = [&](std::size_t sample, const Places& places, std::size_t p) {
            m_exact[sample] = 1;
            for (std::size_t c = 0; c < m_checks.size(); ++c) m_out.checks[c].samples[sample] = places.utilisation[c][p];
        };
        for (std::size_t p = 0; p < beside.count(); ++p) put(p, beside, p);
        std::vector<std::size_t> which;
        const auto want = [&](std::size_t i) {
            if (m_exact[i] == 0 && std::find(which.begin(), which.end(), i) == which.end()) which.push_back(i);
        };
        for (const SampledCheck& c : m_out.checks) {
            std::size_t worst = 0;
            for (std::size_t i = 1; i < m_out.samples; ++i)
                if (c.samples[i] > c.samples[worst]) worst = i;
            if (!std::isnan(c.now)) want(worst);
        }
        for (std::size_t i = 0; m_request.normal && i < m_out.samples; ++i)
            for (std::size_t d = 0; d < m_variables; ++d)
                if (std::fabs(sampleAt(i, d)) > reach()) want(i);
        if (which.empty()) return true;
        std::vector<std::vector<double>> at(m_variables);
        for (const std::size_t i : which)
            for (std::size_t d = 0; d < m_variables; ++d) at[d].push_back(sampleAt(i, d));
        Places more;
        if (!workOut(at, more, most) || !decidedByUtilisation(more)) return false;
        // Within the surfaces they are held to account once more.
        if (!m_request.normal) {
            how.off = std::max(how.off, offAt(s, more));
            how.held += more.count();
        }
        for (std::size_t p = 0; p < which.size(); ++p) put(which[p], more, p);
        return how.off <= kGood;
    }
    std::vector<char> m_exact; ///< by sample: worked out

    void judge(double off) {
        // A surface may be off by somewhat more than was seen.
        const double margin = 2.0 * off;
        std::vector<char> failing(m_out.samples, 0);
        for (SampledCheck& c : m_out.checks) {
            for (std::size_t i = 0; i < m_out.samples; ++i) {
                if (!fails(c.samples[i] + (m_exact[i] != 0 ? 0.0 : margin))) continue;
                ++c.failing;
                failing[i] = 1;
            }
        }
        if (m_passing != Verdict::Ok) return;
        for (const char f : failing) m_out.okay += f != 0 ? 0 : 1;
    }
};

} // namespace

Sampled sample(const Trial& trial, std::size_t member, const std::vector<std::uint32_t>& checks, const SamplingRequest& request, const Control& control) {
    return Sampler(trial, member, checks, request, control).run();
}

} // namespace spanwright::trial
