// SPDX-License-Identifier: MIT
#include "tests/sheets/sheet_case.h"

#include <algorithm>
#include <cmath>
#include <fstream>
#include <iterator>
#include <stdexcept>

#include "engine/base/text.h"
#include "engine/syntax/csv.h"
#include "engine/units/unit.h"

namespace spanwright::sheets_test {

namespace {

const char* const kLibrary = "library";

} // namespace

std::string readText(const std::string& pathBelowRoot) {
    std::ifstream in(std::string(SPANWRIGHT_SOURCE_DIR) + "/" + pathBelowRoot, std::ios::binary);
    if (!in) throw std::runtime_error("cannot read " + pathBelowRoot);
    return {std::istreambuf_iterator<char>(in), std::istreambuf_iterator<char>()};
}

io::Memory libraryInMemory() {
    io::Memory files;
    const io::Disk disk;
    const std::string root = std::string(SPANWRIGHT_SOURCE_DIR) + "/sheets";
    for (const std::string& name : disk.list(root)) {
        auto bytes = disk.read(root + "/" + name);
        if (bytes.ok()) files.files[std::string(kLibrary) + "/" + name] = bytes.value();
    }
    return files;
}

SheetCase::SheetCase(const std::string& sheet, const Values& values, const Replaced& replaced) : m_files(libraryInMemory()) {
    for (const auto& [name, text] : replaced) m_files.files[std::string(kLibrary) + "/" + name] = text;
    std::string text = "job Test\nmember M = " + sheet + "\n";
    for (const auto& [name, value] : values) {
        if (name.rfind("list ", 0) == 0)
            text += "        " + name + "\n" + value + "\n        end\n";
        else
            text += "        with " + name + " = " + value + "\n";
    }
    m_files.files["case.spanjob"] = text;
    job::Options options;
    options.library = kLibrary;
    m_job = job::Job::open(m_files, "case.spanjob", options);
    m_job->calculate();
}

void SheetCase::set(const std::string& name, const std::string& value) {
    const auto done = m_job->override("M", name, value);
    if (!done.ok()) throw std::runtime_error(name + " = " + value + ": " + done.error().message);
}

double SheetCase::number(const std::string& name, const std::string& label) {
    m_job->calculate();
    const meaning::Quantity* q = m_job->sheet(0).find(name);
    if (q == nullptr) throw std::runtime_error("no row named " + name);
    const eval::Value& v = m_job->value(0, q->id);
    if (!v.known()) throw std::runtime_error(name + " is not known: " + (v.problem ? v.problem->message : "") + "\n" + errors());
    if (v.many.empty()) return v.one;
    const std::vector<std::string> labels = m_job->caseLabels(0, q->id);
    for (std::size_t i = 0; i < labels.size(); ++i)
        if (labels[i] == label) return v.many[i];
    std::string all;
    for (const std::string& l : labels) all += " [" + l + "]";
    throw std::runtime_error(name + " has no case '" + label + "', only" + all);
}

double SheetCase::in(const std::string& unit, const std::string& name, const std::string& label) {
    const auto u = units::readUnit(unit);
    if (!u.ok()) throw std::runtime_error("no unit " + unit);
    const meaning::Quantity* q = m_job->sheet(0).find(name);
    if (q == nullptr) throw std::runtime_error("no row named " + name);
    if (!(q->dimension == u.value().dimension)) throw std::runtime_error(name + " is not in " + unit);
    return number(name, label) / u.value().factor;
}

const job::MemberView& SheetCase::member() {
    m_job->calculate();
    return m_job->member(0);
}

const job::CheckView& SheetCase::check(const std::string& name) {
    for (const job::CheckView& c : member().checks)
        if (c.name == name) return c;
    throw std::runtime_error("no check named " + name);
}

double SheetCase::utilisation(const std::string& name) {
    const job::CheckView& c = check(name);
    if (!c.utilisation) throw std::runtime_error(name + " has no utilisation: " + c.reason + "\n" + errors());
    return *c.utilisation;
}

job::Verdict SheetCase::verdict() { return member().verdict; }

std::string SheetCase::errors() {
    std::string out;
    const diag::Resolver resolver = m_job->resolver();
    for (const diag::Diagnostic& d : m_job->diagnostics()) out += diag::renderText(d, resolver);
    return out;
}

bool SheetCase::hasErrors() { return !m_job->diagnostics().empty(); }

std::vector<std::map<std::string, std::string>> readRows(const std::string& pathBelowRoot) {
    const syntax::CsvTable table = syntax::readCsv(pathBelowRoot, readText(pathBelowRoot));
    std::vector<std::map<std::string, std::string>> rows;
    for (const syntax::CsvTable::Line& line : table.lines) {
        std::map<std::string, std::string> row;
        for (std::size_t i = 0; i < line.cells.size() && i < table.columns.size(); ++i) row[table.columns[i].name.text] = line.cells[i].text;
        rows.push_back(std::move(row));
    }
    return rows;
}

SheetCase::Values changed(SheetCase::Values values, const SheetCase::Values& changes) {
    for (const auto& change : changes) {
        const auto have = std::find_if(values.begin(), values.end(), [&](const auto& v) { return v.first == change.first; });
        if (have == values.end())
            values.push_back(change);
        else
            have->second = change.second;
    }
    return values;
}

bool printsAs(double got, const std::string& printed, double slack) {
    const auto value = base::readDouble(printed);
    if (!value) throw std::runtime_error("not a number: " + printed);
    const std::size_t point = printed.find('.');
    const int decimals = point == std::string::npos ? 0 : static_cast<int>(printed.size() - point - 1);
    return std::abs(got - *value) <= slack * std::pow(10.0, -decimals) * (1 + 1e-9);
}

} // namespace spanwright::sheets_test
