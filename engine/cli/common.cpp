// SPDX-License-Identifier: MIT
#include "engine/cli/common.h"

#include <algorithm>
#include <ostream>

#include "engine/base/text.h"
#include "engine/io/folders.h"
#include "engine/syntax/formula.h"
#include "engine/trial/pinned.h"
#include "engine/trial/range.h"

namespace spanwright::cli {

namespace {

std::string stemOf(const std::string& path) {
    const std::string name = io::fileNameOf(path);
    return name.substr(0, name.rfind('.'));
}

std::string joined(const std::vector<std::string>& words) {
    std::string out;
    for (const std::string& w : words) out += (out.empty() ? "" : ", ") + w;
    return out;
}

/// By name, a check's or require's too; first as the sheet knows it, then as it stands.
std::optional<meaning::QuantityId> rowByName(const meaning::Sheet& sheet, const std::string& name) {
    const auto it = sheet.byName.find(name);
    if (it != sheet.byName.end()) return it->second;
    for (const meaning::Quantity& q : sheet.quantities) {
        if (!q.name.empty() && q.name == name) return q.id;
    }
    return std::nullopt;
}

} // namespace

Path splitPath(const job::Job& job, const std::string& text) {
    if (job.isSingleSheet()) return {stemOf(job.path()), syntax::canonicalName(text)};
    const std::size_t dot = text.rfind('.');
    if (dot == std::string::npos) return {"", syntax::canonicalName(text)};
    return {text.substr(0, dot), syntax::canonicalName(text.substr(dot + 1))};
}

std::optional<Assignment> splitAssignment(const std::string& text) {
    const std::size_t at = text.find('=');
    if (at == std::string::npos) return std::nullopt;
    const std::string name(base::trimmed(text.substr(0, at)));
    const std::string value(base::trimmed(text.substr(at + 1)));
    if (name.empty() || value.empty()) return std::nullopt;
    return Assignment{name, value};
}

std::unique_ptr<job::Job> openJob(const std::string& file, const Surroundings& around) {
    job::Options options;
    options.library = around.library;
    return job::Job::open(around.files, file, options);
}

bool applySets(job::Job& job, const std::vector<std::string>& sets, const Surroundings& around) {
    bool ok = true;
    for (const std::string& s : sets) {
        const std::optional<Assignment> a = splitAssignment(s);
        if (!a) continue; // refused as wrong usage before
        const Path path = splitPath(job, a->name);
        // Nothing is saved, so a job's own given may be changed in the text that is held.
        job::Job::Done done = path.mark.empty() ? job.setJobGiven(path.name, a->value) : job.override(path.mark, path.name, a->value);
        if (done) continue;
        printDiagnostic(done.error(), job.resolver(), around);
        ok = false;
    }
    return ok;
}

std::optional<Target> findTarget(const job::Job& job, const std::string& path, const Surroundings& around) {
    const Path p = splitPath(job, path);
    std::vector<std::string> marks;
    for (std::size_t i = 0; i < job.memberCount(); ++i) marks.push_back(job.member(i).mark);
    const auto refuse = [&](diag::Code code, const std::string& message, const std::string& mend) {
        printDiagnostic(faultOf(code, job.path(), message, mend), job.resolver(), around);
    };
    std::optional<std::size_t> member = job.isSingleSheet() && job.memberCount() == 1 ? std::optional<std::size_t>(0) : job.memberByMark(p.mark);
    if (!member && p.mark.empty()) {
        // In a job a bare name says too little unless just one member has it.
        const std::vector<std::string> holders = trial::membersWith(job, p.name);
        if (holders.size() != 1) {
            printDiagnostic(trial::bareName(job, p.name), job.resolver(), around);
            return std::nullopt;
        }
        member = job.memberByMark(holders.front());
    }
    if (!member) {
        const std::optional<std::string> near = base::nearest(p.mark, marks);
        refuse(diag::Code::UnknownMember, "there is no member `" + p.mark + "`",
               near            ? "did you mean `" + *near + "`?"
               : marks.empty() ? ""
                               : "members: " + joined(marks));
        return std::nullopt;
    }
    const std::optional<meaning::QuantityId> id = rowByName(job.sheet(*member), p.name);
    if (!id) {
        std::vector<std::string> names;
        for (const meaning::Quantity& q : job.sheet(*member).quantities) {
            if (!q.name.empty()) names.push_back(q.name);
        }
        const std::optional<std::string> near = base::nearest(p.name, names);
        refuse(diag::Code::UnknownName, "member " + marks[*member] + " has no row `" + p.name + "`", near ? "did you mean `" + *near + "`?" : "");
        return std::nullopt;
    }
    return Target{*member, *id};
}

std::optional<std::size_t> findMember(const job::Job& job, const std::string& mark, const Surroundings& around) {
    if (const std::optional<std::size_t> found = job.memberByMark(mark)) return found;
    std::vector<std::string> marks;
    for (std::size_t i = 0; i < job.memberCount(); ++i) marks.push_back(job.member(i).mark);
    const std::optional<std::string> near = base::nearest(mark, marks);
    printDiagnostics(job, "", around);
    printDiagnostic(faultOf(diag::Code::UnknownMember, job.path(), "there is no member `" + mark + "`", near ? "did you mean `" + *near + "`?" : ""), {},
                    around);
    return std::nullopt;
}

diag::Resolver shopResolver(const job::Job& job, const shop::ShopRows& rows) {
    return [inJob = job.resolver(), prices = rows.priceTable, file = rows.priceFile](const diag::Place& p) {
        if (prices && p.file == file) return prices->resolve(p);
        return inJob(p);
    };
}

void printDiagnostic(const diag::Diagnostic& d, const diag::Resolver& resolve, const Surroundings& around) { around.err << diag::renderText(d, resolve); }

void printDiagnostics(const job::Job& job, const std::string& mark, const Surroundings& around) {
    const diag::Resolver resolve = job.resolver();
    for (const diag::Diagnostic& d : job.diagnostics()) {
        if (mark.empty() || d.member.empty() || d.member == mark) printDiagnostic(d, resolve, around);
    }
}

diag::Diagnostic faultOf(diag::Code code, const std::string& file, std::string message, std::string mend) {
    diag::Diagnostic d;
    d.code = code;
    d.place.file = file;
    d.message = std::move(message);
    d.mend = std::move(mend);
    return d;
}

diag::Diagnostic faultOf(const io::IoError& e) {
    using What = io::IoError::What;
    diag::Code code = diag::Code::FileNotReadable;
    switch (e.what) {
    case What::NotFound: code = diag::Code::FileNotFound; break;
    case What::TooLarge: code = diag::Code::FileTooLarge; break;
    case What::NotWritable:
    case What::NoSpace: code = diag::Code::FileNotWritable; break;
    case What::Outside: code = diag::Code::PathOutside; break;
    case What::NotReadable:
    case What::IsFolder:
    case What::Other: break;
    }
    return faultOf(code, e.path, e.message);
}

bool saveJob(job::Job& job, const Surroundings& around) {
    const base::Result<bool, io::IoError> saved = job.save();
    if (!saved) printDiagnostic(faultOf(saved.error()), {}, around);
    return saved.ok();
}

bool pinTrial(job::Job& job, const std::string& trial, const std::vector<std::string>& sets, bool quiet, const Surroundings& around) {
    const std::string file = job.path();
    if (!sets.empty()) {
        printDiagnostic(faultOf(diag::Code::NotSettable, file, "the trial was made with `--set` values, which are not in the file",
                                "set them in the file first, then pin the trial"),
                        {}, around);
        return false;
    }
    if (job::Job::Done done = trial::pin(job, trial, {}); !done) {
        printDiagnostic(done.error(), job.resolver(), around);
        return false;
    }
    // What a report would refuse is not written.
    for (const trial::PinnedPlan& plan : trial::planPinned(job)) {
        if (plan.pinned.text != trial || !plan.problem) continue;
        printDiagnostic(*plan.problem, job.resolver(), around);
        return false;
    }
    if (!saveJob(job, around)) return false;
    if (!quiet) around.out << "pinned into " << file << ": trial " << trial << "\n";
    return true;
}

bool writeFile(const std::string& path, const std::string& bytes, const Surroundings& around) {
    if (path == "-") {
        around.out << bytes;
        return true;
    }
    const base::Result<bool, io::IoError> done = around.files.write(path, bytes);
    if (!done) printDiagnostic(faultOf(done.error()), {}, around);
    return done.ok();
}

bool writeInto(const std::string& folder, const std::string& name, const std::string& bytes, const Surroundings& around) {
    const std::string path = folder + "/" + name;
    const auto done = around.files.write(path, bytes);
    if (done) return true;
    if (done.error().what == io::IoError::What::NotFound) {
        if (const auto made = io::makeFolder(folder); !made) {
            printDiagnostic(faultOf(made.error()), {}, around);
            return false;
        }
    }
    return writeFile(path, bytes, around);
}

int worse(int a, int b) {
    if (a == kNotRead || b == kNotRead) return kNotRead;
    return std::max(a, b);
}

} // namespace spanwright::cli
