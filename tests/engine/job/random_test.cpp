// SPDX-License-Identifier: MIT
// Random edits to random sheets: what comes out after each is, bit for bit, what a fresh calculation of the
// same texts gives, and no more was worked out than had to be.
#include <algorithm>
#include <cstring>
#include <map>
#include <random>
#include <set>

#include "tests/engine/job/support.h"

using namespace spanwright;
using namespace spanwright::job;
using namespace spanwright::job::tests;

namespace {

class Maker {
public:
    explicit Maker(std::uint32_t start) : m_random(start) {}
    std::size_t below(std::size_t n) { return m_random() % n; }
    bool oneIn(std::size_t n) { return below(n) == 0; }

    /// Few different values, so that rows often come out equal.
    std::string value() {
        static const char* const kValues[] = {"1", "2", "2.0", "0.5", "3", "-1", "0", "4"};
        return kValues[below(8)];
    }
    /// A formula over rows before `row`, seldom after it (then perhaps a ring).
    std::string formula(std::size_t row, std::size_t rows, bool cases) {
        const auto name = [&] { return "r" + std::to_string(oneIn(40) ? below(rows) : row == 0 ? 0 : below(row)); };
        if (row == 0) return value();
        switch (below(cases ? 10 : 8)) {
        case 0: return name() + " + " + name();
        case 1: return name() + "*" + value();
        case 2: return "if(" + name() + " > 1, " + name() + ", " + name() + ")";
        case 3: return "min(" + name() + ", " + name() + ")";
        case 4: return "round(" + name() + "/2)";
        case 5: return name() + "/" + name();  // now and then by zero
        case 6: return "sqrt(" + name() + ")"; // now and then of a negative number
        case 7: return name();
        case 8: return "largest(e.f*" + value() + " + 1, over e)";
        default: return "grade.f - " + name();
        }
    }
    std::string row(std::size_t i, std::size_t rows) {
        const std::string n = std::to_string(i);
        switch (below(6)) {
        case 0: return "given r" + n + " = " + value() + "\n";
        case 1: return "given r" + n + " = " + formula(i, rows, false) + "\n";
        default: return "derive r" + n + " = " + formula(i, rows, true) + "\n";
        }
    }
    std::string sheet(std::size_t rows) {
        std::string s = "sheet trial\ntable grades by k\nk, f\na, 1\nb, 2\nc, -1\nend\nlist es\nk, f\n1, 1\n2, 3\nend\neach e in es" +
                        std::string(oneIn(2) ? " only if e.f > q - 4" : "") +
                        "\nchoose grade = a from "
                        "grades\nask q from -10 to 10\n";
        for (std::size_t i = 0; i < rows; ++i) s += row(i, rows);
        s += "derive cs = e.f*q + r" + std::to_string(below(rows)) + "\n";
        s += "part P only if r" + std::to_string(below(rows)) + " > 0\n";
        s += "derive sw = r" + std::to_string(below(rows)) + "\ngiven sv = 1\notherwise\nderive sw = 2\ngiven sv = 2\n";
        s += "part Checks\ncheck c1: cs <= 4\ncheck c2: sw + sv <= r" + std::to_string(below(rows)) + "\nrequire k: q > -5\n";
        return s;
    }

private:
    std::mt19937 m_random;
};

/// State and numbers of every row, as bytes.
std::string bits(const Job& job) {
    std::string out;
    const auto put = [&](double v) {
        char raw[sizeof v];
        std::memcpy(raw, &v, sizeof v);
        out.append(raw, sizeof v);
    };
    for (std::size_t m = 0; m < job.memberCount(); ++m) {
        const meaning::Sheet& sheet = job.sheet(m);
        out += "|" + job.member(m).mark;
        for (const auto& q : sheet.quantities) {
            const eval::Value& v = job.value(m, q.id);
            out += static_cast<char>('A' + static_cast<int>(v.state));
            put(v.one);
            for (double d : v.many) put(d);
            for (double d : v.right) put(d);
        }
    }
    return out;
}

/// All that views and the verdict say: kept views must be what fresh ones are.
std::string said(const Job& job) {
    std::string out = std::string(verdictText(job.verdict()));
    const auto put = [&](const auto&... words) { ((out += '|', out += words), ...); };
    const auto number = [](auto n) { return std::to_string(n); };
    for (std::size_t i = 0; i < job.memberCount(); ++i) {
        const MemberView& v = job.member(i);
        put(v.mark, v.purpose, v.sheetName, number(v.row), number(v.count), v.insteadOf, verdictText(v.verdict));
        for (const auto* list : {&v.reasons, &v.notStated, &v.feedsMembers, &v.readsMembers})
            for (const std::string& s : *list) put(s);
        for (const CheckView& c : v.checks) put(c.name, number(static_cast<int>(c.state)), c.reason, c.governingLabel, c.leftShown, c.rightShown);
        for (const Assumption& a : v.assumptions) put(a.name, a.shown);
        for (const QuantityView& q : v.quantities) {
            put(number(static_cast<int>(q.state)), number(q.stated + 2 * q.assumed + 4 * q.overridden), q.statedText, q.statedFrom, q.shown, q.reason);
            if (q.tick) put("tick", number(*q.tick));
            for (const std::uint32_t r : q.remarks) put("remark", number(r));
        }
    }
    return out;
}

struct Text {
    std::vector<std::string> marks;
    std::map<std::string, std::map<std::string, std::string>> with; ///< mark -> name -> value
    std::map<std::string, std::string> list;
    std::vector<std::string> givens;
    std::map<std::string, std::string> purpose, from; ///< by mark: words behind it, and behind all that it states
    std::vector<std::string> reviews;                 ///< ticks and remarks

    [[nodiscard]] std::string text() const {
        std::string out = "job T\n";
        for (std::size_t i = 0; i < givens.size(); ++i) out += "given g" + std::to_string(i) + " = " + givens[i] + "\n";
        for (const std::string& m : marks) {
            const auto words = [&m](const std::map<std::string, std::string>& said) {
                const auto w = said.find(m);
                return w != said.end() ? " -- " + w->second : std::string();
            };
            out += "member " + m + " = " + (m[0] == 'B' ? "second" : "trial") + words(purpose) + "\n";
            if (const auto w = with.find(m); w != with.end())
                for (const auto& [name, value] : w->second) out += "  with " + name + " = " + value + words(from) + "\n";
            if (const auto l = list.find(m); l != list.end()) out += "  list es\nk, f\n" + l->second + "  end\n";
        }
        for (const std::string& r : reviews) out += r + "\n";
        return out;
    }
};

} // namespace

TEST_CASE("10,000 random edits give what a fresh calculation gives") {
    Maker make(20260504);
    std::size_t edits = 0, stopped = 0, quiet = 0, failures = 0, rings = 0, refused = 0;
    for (int round = 0; round < 100; ++round) {
        const std::size_t rows = 5 + make.below(25);
        std::string sheets[2] = {make.sheet(rows), make.sheet(rows)};
        Text text;
        text.givens = {"1", "2"};
        for (const char* m : {"A1", "A2", "B1", "B2"}) text.marks.emplace_back(m);
        Desk desk(text.text(), sheets[0]);
        desk.files.files["work/second.spansheet"] = sheets[1];
        Job& job = desk.open();
        job.keepLog(true);
        for (int edit = 0; edit < 100; ++edit) {
            ++edits;
            const std::string mark = text.marks[make.below(text.marks.size())];
            const std::string target = make.oneIn(3) ? "q" : make.oneIn(8) ? "sv" : "r" + std::to_string(make.below(rows));
            const auto link = [&] {
                const std::string other = text.marks[make.below(text.marks.size())];
                switch (make.below(4)) {
                case 0: return "g" + std::to_string(make.below(2));
                case 1: return other + ".q";
                default: return other + ".r" + std::to_string(make.below(rows)) + (make.oneIn(2) ? "" : "*0 + 1");
                }
            };
            std::set<std::string> before;
            bool valueEdit = false;
            std::string edited;
            switch (make.below(16)) {
            case 0: { // a row of a sheet
                const std::size_t which = make.below(2);
                std::string& sheet = sheets[which];
                const std::string start = " r" + std::to_string(make.below(rows)) + " = ";
                const std::size_t at = sheet.find(start);
                REQUIRE(at != std::string::npos);
                const std::size_t line = sheet.rfind('\n', at) + 1;
                const std::size_t end = sheet.find('\n', at);
                const std::size_t number = static_cast<std::size_t>(std::stoi(start.substr(2)));
                sheet.replace(line, end + 1 - line, make.row(number, rows));
                REQUIRE(job.setText(which == 0 ? "work/trial.spansheet" : "work/second.spansheet", sheet).ok());
                break;
            }
            case 1: { // members come and go, and change places
                if (make.oneIn(3))
                    std::swap(text.marks.front(), text.marks[make.below(text.marks.size())]);
                else if (text.marks.size() > 2 && make.oneIn(2))
                    text.marks.erase(text.marks.begin() + static_cast<std::ptrdiff_t>(make.below(text.marks.size())));
                else
                    text.marks.insert(text.marks.begin() + static_cast<std::ptrdiff_t>(make.below(text.marks.size() + 1)),
                                      (make.oneIn(2) ? "A" : "B") + std::to_string(round * 1000 + edit + 10));
                REQUIRE(job.setText("work/job.spanjob", text.text()).ok());
                break;
            }
            case 2: { // a list
                if (make.oneIn(3))
                    text.list.erase(mark);
                else {
                    std::string& list = text.list[mark];
                    list.clear();
                    for (std::size_t i = 0, n = make.below(4); i < n; ++i)
                        list += "x" + std::to_string(i) + ", " + (make.oneIn(3) ? link() : make.value()) + "\n";
                }
                REQUIRE(job.setText("work/job.spanjob", text.text()).ok());
                break;
            }
            case 3: { // anything at all in the text, refused or not: rings and wrong keys too
                text.with[mark][make.oneIn(4) ? "grade" : target] = make.oneIn(3) ? make.value() : make.oneIn(4) ? "?" : link();
                REQUIRE(job.setText("work/job.spanjob", text.text()).ok());
                break;
            }
            case 4: {
                const std::size_t g = make.below(2);
                const std::string value = make.oneIn(6) ? "?" : make.value();
                REQUIRE(job.setJobGiven("g" + std::to_string(g), value).ok());
                text.givens[g] = value;
                break;
            }
            case 12: { // words
                auto& words = make.oneIn(2) ? text.purpose : text.from;
                words[mark] = "words " + std::to_string(make.below(3));
                REQUIRE(job.setText("work/job.spanjob", text.text()).ok());
                break;
            }
            case 13: { // ticks and remarks come and go
                if (!text.reviews.empty() && make.oneIn(3))
                    text.reviews.erase(text.reviews.begin() + static_cast<std::ptrdiff_t>(make.below(text.reviews.size())));
                else
                    text.reviews.push_back(make.oneIn(2) ? "tick " + mark + "." + target + " by AB on 2026-05-04 letters KQ7-MFD-2XH"
                                                         : "remark " + mark + "." + target + " by AB on 2026-05-04: looks odd");
                REQUIRE(job.setText("work/job.spanjob", text.text()).ok());
                break;
            }
            case 5: {
                static const char* const kKeys[] = {"a", "b", "c"};
                const std::string key = kKeys[make.below(3)];
                if (job.setValue(mark, "grade", key).ok()) text.with[mark]["grade"] = key;
                break;
            }
            default: {
                const std::string value = make.oneIn(3) ? link() : make.value();
                valueEdit = true;
                edited = mark + "." + target;
                if (job.setValue(mark, target, value).ok())
                    text.with[mark][target] = value;
                else
                    ++refused;
                break;
            }
            }
            const std::size_t worked = job.calculate();
            if (worked == 0) ++quiet;
            // Nothing twice; and after one value, only what is downstream of it.
            const std::set<std::string> log(job.log().begin(), job.log().end());
            REQUIRE(log.size() <= job.log().size());
            if (valueEdit && worked > 0) {
                REQUIRE(log.count(edited) == 1);
                stopped += static_cast<std::size_t>(worked == 1);
            }
            const std::string now = bits(job);
            // The job's own text, written by the edits themselves, against a fresh job of that text.
            io::Memory copy = desk.files;
            copy.files["work/job.spanjob"] = *job.text("work/job.spanjob");
            copy.files["work/trial.spansheet"] = sheets[0];
            copy.files["work/second.spansheet"] = sheets[1];
            const auto fresh = Job::open(copy, "work/job.spanjob", {.library = "library", .cancelled = {}});
            INFO("round ", round, " edit ", edit);
            REQUIRE(bits(*fresh) == now);
            REQUIRE(said(*fresh) == said(job));
            if (edit % 10 == 0) REQUIRE(told(*fresh) == told(job));
            for (const auto& d : job.diagnostics()) {
                failures += static_cast<std::size_t>(d.code == diag::Code::DivisionByZero || d.code == diag::Code::InvalidOperation);
                rings += static_cast<std::size_t>(d.code == diag::Code::Cycle);
            }
        }
    }
    CHECK(edits == 10000);
    // The edits met what they were meant to meet.
    CHECK(stopped > 300);
    CHECK(quiet > 100);
    CHECK(failures > 1000);
    CHECK(rings > 100);
    CHECK(refused > 50);
}
