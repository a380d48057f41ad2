// SPDX-License-Identifier: MIT
#include <algorithm>
#include <ostream>

#include "engine/cli/commands.h"
#include "engine/cli/common.h"
#include "engine/report/build.h"
#include "engine/report/words.h"
#include "engine/report/write.h"

namespace spanwright::cli {

namespace {

std::string endingOf(const std::string& path) {
    const std::string name = io::fileNameOf(path);
    const std::size_t dot = name.rfind('.');
    return dot == std::string::npos ? "" : name.substr(dot + 1);
}

/// The form asked for, or what the file's ending says, or HTML.
std::string formOf(const ReportOptions& o) {
    if (!o.as.empty()) return o.as;
    const std::string ending = endingOf(o.out);
    if (ending == "txt") return "text";
    if (ending == "json" || ending == "csv" || ending == "pdf") return ending;
    return "html";
}

/// Beside the job, with its name.
std::string defaultPath(const std::string& file, const std::string& form) {
    const std::string folder = io::folderOf(file);
    const std::string name = io::fileNameOf(file);
    const std::string stem = name.substr(0, name.rfind('.'));
    return (folder.empty() || folder == "." ? "" : folder == "/" ? "/" : folder + "/") + stem + "." + (form == "text" ? "txt" : form);
}

bool writePlots(const report::JobFacts& facts, const std::string& folder, const Surroundings& around) {
    for (std::size_t m = 0; m < facts.members.size(); ++m) {
        std::size_t n = 0;
        for (const report::RowFact& r : facts.members[m].rows) {
            if (!r.plot) continue;
            // Marks may hold anything; file names hold numbers only.
            const std::string name = report::memberId(m) + "-plot" + std::to_string(++n) + ".svg";
            if (!writeInto(folder, name, report::writeSvg(report::plotDrawing(*r.plot), "p", true), around)) return false;
        }
    }
    return true;
}

/// The members asked for by their marks; nothing after saying which of them is unknown.
std::optional<std::vector<std::size_t>> chosenMembers(const job::Job& job, const ReportOptions& o, const Surroundings& around) {
    std::vector<std::size_t> out;
    for (const std::string& mark : o.members) {
        const std::optional<std::size_t> member = findMember(job, mark, around);
        if (!member) return std::nullopt;
        out.push_back(*member);
    }
    return out;
}

} // namespace

int perform(const ReportOptions& o, const Surroundings& around) {
    const std::unique_ptr<job::Job> job = openJob(o.file, around);
    if (!applySets(*job, o.set, around)) return kNotRead;
    const std::string form = formOf(o);
    const std::optional<std::vector<std::size_t>> members = chosenMembers(*job, o, around);
    if (!members) return kNotRead;
    const report::ReportScope scope{*members, o.brief};
    if ((form == "json" || form == "csv") && (o.brief || !o.members.empty())) {
        around.err << "spanwright report: --member and --brief choose pages; " << form << " always holds the whole job\n";
        return kUsage;
    }
    if (!o.size.empty() && form != "pdf") {
        around.err << "spanwright report: --size is the size of a PDF's paper\n";
        return kUsage;
    }
    report::Want want;
    want.mends = true;
    want.rows = true;
    want.workings = form != "json" && form != "csv";
    want.trials = form != "json" && form != "csv" && !o.brief && o.members.empty();
    want.shop = form != "json" && !o.brief && o.members.empty();
    report::JobFacts facts = report::gather(*job, want);
    facts.overrides = o.set;
    printDiagnostics(*job, "", around);
    if (facts.shop)
        for (const diag::Diagnostic& d : facts.shop->problems) printDiagnostic(d, shopResolver(*job, facts.shop->rows), around);
    for (const trial::PinnedResult& t : facts.trials)
        if (t.problem && !t.pinned.broken) printDiagnostic(*t.problem, job->resolver(), around);
    // A file that cannot be read at all gives no page that might be taken for one.
    if (job->memberCount() == 0 && facts.exitStatus == kNotRead) return kNotRead;

    std::string bytes;
    if (form == "json")
        bytes = report::writeJson(facts);
    else if (form == "csv")
        bytes = report::writeScheduleCsv(facts);
    else if (form == "text")
        bytes = report::writeText(report::reportDocument(facts, scope));
    else if (form == "html")
        bytes = report::writeHtml(report::reportDocument(facts, scope));
    else {
        std::string problem = "this program was built without a PDF writer: it comes with the window, spanwright-desk";
        if (around.paper != nullptr) {
            problem.clear();
            bytes = around.paper->write(report::reportDocument(facts, scope),
                                        o.size == "letter" ? report::PaperWriter::Size::Letter : report::PaperWriter::Size::A4, problem);
        }
        if (bytes.empty()) {
            printDiagnostic(faultOf(diag::Code::FileNotWritable, o.out.empty() ? "pdf" : o.out, problem,
                                    "install the package that holds the window, or print the HTML page from a browser"),
                            {}, around);
            return kNotRead;
        }
    }
    const std::string path = o.out.empty() ? defaultPath(o.file, form) : o.out;
    if (!writeFile(path, bytes, around)) return kNotRead;
    if (!o.plots.empty() && !writePlots(facts, o.plots, around)) return kNotRead;
    if (path != "-")
        around.out << "wrote " << path << "; verdict " << report::stampText(report::stampOf(facts.verdict)) << "; inputs " << facts.fingerprint << "\n";
    return facts.exitStatus;
}

} // namespace spanwright::cli
