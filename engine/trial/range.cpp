// SPDX-License-Identifier: MIT
#include "engine/trial/range.h"

#include <algorithm>
#include <array>
#include <charconv>
#include <cmath>

#include "engine/base/text.h"
#include "engine/syntax/formula.h"

namespace spanwright::trial {

using diag::Code;
using diag::Diagnostic;

namespace {

std::string stemOf(const std::string& path) {
    const std::size_t slash = path.rfind('/');
    const std::string name = slash == std::string::npos ? path : path.substr(slash + 1);
    return name.substr(0, name.rfind('.'));
}

/// Where ` word ` stands outside double quotes; npos if nowhere.
std::size_t findWord(std::string_view text, std::string_view word) {
    bool quoted = false;
    const std::string padded = " " + std::string(word) + " ";
    for (std::size_t i = 0; i + padded.size() <= text.size(); ++i) {
        if (text[i] == '"') quoted = !quoted;
        if (!quoted && text.substr(i, padded.size()) == padded) return i;
    }
    return std::string_view::npos;
}

std::vector<std::string> splitList(std::string_view text) {
    std::vector<std::string> out;
    std::string now;
    bool quoted = false;
    for (const char c : text) {
        if (c == '"') quoted = !quoted;
        if (c == ',' && !quoted) {
            out.emplace_back(base::trimmed(now));
            now.clear();
        } else {
            now += c;
        }
    }
    out.emplace_back(base::trimmed(now));
    return out;
}

std::string unquoted(std::string_view text) {
    if (text.size() >= 2 && text.front() == '"' && text.back() == '"') return std::string(text.substr(1, text.size() - 2));
    return std::string(text);
}

} // namespace

Diagnostic trialFault(Code code, const std::string& file, std::string message, std::string mend) {
    return {code, diag::Severity::Error, {file, diag::Place::kNoRow, {}}, std::move(message), {}, {}, std::move(mend), {}};
}

std::vector<std::string> membersWith(const job::Job& job, const std::string& name) {
    std::vector<std::string> out;
    for (std::size_t i = 0; i < job.memberCount(); ++i) {
        const auto& rows = job.sheet(i).quantities;
        if (std::any_of(rows.begin(), rows.end(), [&](const meaning::Quantity& q) { return q.name == name; })) out.push_back(job.member(i).mark);
    }
    return out;
}

Diagnostic bareName(const job::Job& job, const std::string& name) {
    const std::vector<std::string> marks = membersWith(job, name);
    if (marks.size() > 1) {
        std::string all;
        for (const std::string& m : marks) all += (all.empty() ? "" : ", ") + pathText({m, name});
        return trialFault(Code::UnknownName, job.path(), "`" + name + "` is a row of " + std::to_string(marks.size()) + " members", "say which: " + all);
    }
    const std::string mark = job.memberCount() > 0 ? job.member(0).mark : "J1";
    std::vector<std::string> known = job.givenNames();
    if (std::find(known.begin(), known.end(), name) != known.end())
        return trialFault(Code::UnknownName, job.path(), "`" + name + "` is a value of the job's own, and not a row of a member",
                          "name a row of a member, as in `" + mark + ".M_d`");
    if (job.memberByMark(name))
        return trialFault(Code::UnknownName, job.path(), "`" + name + "` is a member, and not one of its rows", "name a row with it, as in `" + name + ".h`");
    for (std::size_t i = 0; i < job.memberCount(); ++i)
        for (const meaning::Quantity& q : job.sheet(i).quantities)
            if (!q.name.empty()) known.push_back(q.name);
    const auto near = base::nearest(name, known);
    return trialFault(Code::UnknownName, job.path(), "neither the job nor a member has a row `" + name + "`",
                      near ? "did you mean `" + *near + "`?" : "name a value of a member with its mark, as in `" + mark + ".h`");
}

ValueName splitName(const job::Job& job, std::string_view text) {
    const std::string name(base::trimmed(text));
    if (job.isSingleSheet()) return {stemOf(job.path()), syntax::canonicalName(name)};
    const std::size_t dot = name.rfind('.');
    if (dot == std::string::npos) {
        ValueName bare{"", syntax::canonicalName(name)};
        if (const std::vector<std::string> own = job.givenNames(); std::find(own.begin(), own.end(), bare.name) != own.end()) return bare;
        if (const std::vector<std::string> holders = membersWith(job, bare.name); holders.size() == 1) bare.mark = holders.front();
        return bare;
    }
    return {name.substr(0, dot), syntax::canonicalName(name.substr(dot + 1))};
}

base::Result<OverText, Diagnostic> readOver(std::string_view whole, const std::string& file) {
    const std::string_view text = base::trimmed(whole);
    const auto wrong = [&](const std::string& what) {
        return base::Failure<Diagnostic>{
            trialFault(Code::TrialRange, file, what + " in `" + std::string(text) + "`",
                       "write `h from 200 mm to 400 mm by 10 mm`, `h in 200 mm, 220 mm`, `grade in C24, C30`, or a choice's name alone")};
    };
    OverText out;
    const std::size_t from = findWord(text, "from"), in = findWord(text, "in");
    const std::size_t cut = std::min(from, in);
    out.name = std::string(base::trimmed(text.substr(0, cut)));
    if (out.name.empty()) return wrong("there is no name");
    if (out.name.find_first_of(" \t\"") != std::string::npos) return wrong("a name is one word, and `from` or `in` follows it");
    if (cut == std::string_view::npos) return out;
    if (in < from) {
        out.list = splitList(text.substr(in + 4));
        for (const std::string& item : out.list)
            if (item.empty()) return wrong("a value of the list is missing");
        return out;
    }
    const std::string_view rest = text.substr(from + 5);
    const std::size_t to = findWord(rest, "to");
    if (to == std::string_view::npos) return wrong("a range needs `to`");
    out.from = std::string(base::trimmed(rest.substr(0, to)));
    const std::string_view behind = rest.substr(to + 3);
    const std::size_t by = findWord(behind, "by");
    out.to = std::string(base::trimmed(behind.substr(0, by)));
    if (by != std::string_view::npos) {
        out.by = std::string(base::trimmed(behind.substr(by + 4)));
        if (out.by.empty()) return wrong("the step is missing");
    }
    if (out.from.empty() || out.to.empty()) return wrong("an end of the range is missing");
    return out;
}

double gridValue(const units::Written& from, const units::Written& by, std::size_t i) {
    const double start = units::fromSi(from.si, from.unit), step = units::fromSi(by.si, from.unit);
    const double v = start + static_cast<double>(i) * step;
    std::array<char, 64> text{};
    const auto end = std::to_chars(text.data(), text.data() + text.size(), v, std::chars_format::general, 12).ptr;
    double clean = v;
    std::from_chars(text.data(), end, clean);
    return units::toSi(clean, from.unit);
}

base::Result<double, Diagnostic> valueOf(const Trial& trial, std::size_t k, std::string_view text, const std::string& file) {
    const Varied& v = trial.varied()[k];
    const std::string name = pathText(v.name);
    if (v.table) {
        const auto row = v.table->rowByLabel(text);
        if (row) return static_cast<double>(*row);
        std::vector<std::string> labels;
        for (std::uint32_t r = 0; r < v.table->rowCount() && r < 10'000; ++r) labels.push_back(v.table->rowLabel(r));
        const auto near = base::nearest(unquoted(text), labels);
        return base::Failure<Diagnostic>{trialFault(Code::UnknownTableRow, file, "the table " + v.table->name + " has no row `" + std::string(text) + "`",
                                                    near ? "did you mean `" + *near + "`?" : "look at the rows of the table")};
    }
    const auto read = units::readValue(text, v.dimension.isNumber() ? nullptr : &v.unit);
    if (!read)
        return base::Failure<Diagnostic>{
            trialFault(read.error().code, file, "`" + std::string(text) + "` for `" + name + "`: " + read.error().message, read.error().mend)};
    if (!(read.value().unit.dimension == v.dimension))
        return base::Failure<Diagnostic>{trialFault(Code::UnlikeDimensions, file,
                                                    "`" + std::string(text) + "` is no value for `" + name + "`: " +
                                                        (read.value().unit.dimension.isNumber() ? "a pure number" : read.value().unit.dimension.text()) +
                                                        " where " + (v.dimension.isNumber() ? "a pure number" : v.dimension.text()) + " is wanted",
                                                    "write it with a unit such as " + (v.unit.ascii.empty() ? "none" : v.unit.ascii))};
    return read.value().si;
}

base::Result<Axis, Diagnostic> axisOf(const Trial& trial, std::size_t k, const OverText& over, const std::string& file) {
    const Varied& v = trial.varied()[k];
    const std::string name = pathText(v.name);
    const auto wrong = [&](std::string what, std::string mend) {
        return base::Failure<Diagnostic>{trialFault(Code::TrialRange, file, std::move(what), std::move(mend))};
    };
    Axis axis;
    if (v.table) {
        if (!over.from.empty())
            return wrong("`" + name + "` is chosen from a table and has no range", "write `" + over.name + " in KEY, KEY`, or its name alone for every row");
        if (over.list.empty()) {
            for (std::size_t r = 0; r < v.table->rowCount(); ++r) axis.values.push_back(static_cast<double>(r));
            if (axis.values.empty()) return wrong("the table of `" + name + "` has no rows", "add a row to it");
        }
        for (const std::string& item : over.list) {
            auto value = valueOf(trial, k, item, file);
            if (!value) return base::Failure<Diagnostic>{value.error()};
            axis.values.push_back(value.value());
        }
    } else if (!over.list.empty()) {
        for (const std::string& item : over.list) {
            auto value = valueOf(trial, k, item, file);
            if (!value) return base::Failure<Diagnostic>{value.error()};
            axis.values.push_back(value.value());
        }
        axis.numeric = std::is_sorted(axis.values.begin(), axis.values.end(), [](double a, double b) { return a <= b; });
    } else {
        if (over.from.empty())
            return wrong("`" + name + "` needs a range or a list to vary over",
                         "write `" + over.name + " from A to B by STEP`, or `" + over.name + " in A, B, C`");
        for (const std::string* text : {&over.from, &over.to, &over.by}) {
            if (text->empty()) continue;
            if (auto value = valueOf(trial, k, *text, file); !value) return base::Failure<Diagnostic>{value.error()};
        }
        const units::Unit* assumed = v.dimension.isNumber() ? nullptr : &v.unit;
        units::Written from = units::readValue(over.from, assumed).value();
        const units::Written to = units::readValue(over.to, assumed).value();
        units::Written by;
        if (over.by.empty()) {
            by = {(to.si - from.si) / 20.0, from.unit};
        } else {
            by = units::readValue(over.by, assumed).value();
        }
        if (from.si == to.si && over.by.empty())
            return wrong("the range of `" + name + "` is empty: both ends are " + over.from, "give it two different ends, or state the one value in a list");
        if (to.si < from.si) return wrong("the range of `" + name + "` runs backwards: from " + over.from + " to " + over.to, "write the smaller end first");
        if (by.si <= 0.0) return wrong("the step of `" + name + "` is " + over.by + ": it must be above zero", "write a step above zero");
        const double steps = std::floor((to.si - from.si) / by.si * (1.0 + 1e-15) + 1e-9);
        if (steps + 1.0 > static_cast<double>(kMostTablePoints)) {
            return base::Failure<Diagnostic>{trialFault(
                Code::TrialTooLarge, file, "`" + name + "` would take " + base::shortest(steps + 1.0) + " values, and a table has at most 1,000,000 points",
                "take a longer step, or a shorter range")};
        }
        for (std::size_t i = 0; i <= static_cast<std::size_t>(steps); ++i) axis.values.push_back(gridValue(from, by, i));
        axis.numeric = true;
    }
    for (const double x : axis.values) axis.labels.push_back(trial.valueShown(k, x));
    // Where what is shown does not tell them apart it is written out.
    for (std::size_t i = 1; i < axis.labels.size() && !v.table; ++i) {
        if (axis.labels[i] != axis.labels[i - 1] || axis.values[i] == axis.values[i - 1]) continue;
        for (std::size_t j = 0; j < axis.labels.size(); ++j) axis.labels[j] = trial.valueWritten(k, axis.values[j]);
        break;
    }
    return axis;
}

} // namespace spanwright::trial
