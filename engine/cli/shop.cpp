// SPDX-License-Identifier: MIT
// cut, price, compare, bench: what the workshop makes of a job.
#include <algorithm>
#include <ostream>

#include "engine/base/text.h"
#include "engine/cli/commands.h"
#include "engine/cli/common.h"
#include "engine/report/compare_document.h"
#include "engine/report/shop_pages.h"
#include "engine/report/write.h"
#include "engine/shop/joints.h"
#include "engine/units/format.h"

namespace spanwright::cli {

namespace {

void tell(const job::Job& job, const shop::Workshop& w, const Surroundings& around) {
    const diag::Resolver resolve = shopResolver(job, w.rows);
    for (const diag::Diagnostic& d : w.problems) printDiagnostic(d, resolve, around);
}

/// The file of prices named on the command line; false after saying why it cannot be read.
bool readPrices(const std::string& path, std::optional<shop::PriceFile>& into, const Surroundings& around) {
    if (path.empty()) return true;
    const auto bytes = around.files.read(path);
    if (!bytes) {
        printDiagnostic(faultOf(bytes.error()), {}, around);
        return false;
    }
    if (!base::isUtf8(bytes.value())) {
        printDiagnostic(faultOf(diag::Code::FileNotText, path, "the file is not UTF-8 text", "save it as plain text in UTF-8"), {}, around);
        return false;
    }
    into = shop::PriceFile{path, bytes.value()};
    return true;
}

bool isJob(const job::Job& job, const std::string& file, const Surroundings& around) {
    if (!job.isSingleSheet()) return true;
    printDiagnostic(faultOf(diag::Code::UnknownMember, file, "a sheet on its own is not cut or priced", "make a job that uses it: `spanwright start`"), {},
                    around);
    return false;
}

/// Nothing could be read of the job at all: said already.
bool nothing(const job::Job& job) { return job.memberCount() == 0 && job.exitStatus() == kNotRead; }

bool writeDrawings(const shop::Workshop& w, const std::string& folder, const Surroundings& around) {
    for (const shop::GroupPlan& g : w.plan.groups)
        for (const shop::CutBoard& b : g.boards) {
            const std::string name = (g.panels ? "panel-" : "board-") + std::to_string(b.number) + ".svg";
            if (!writeInto(folder, name, report::writeSvg(report::cutDrawing(w, g, b), "c", true), around)) return false;
        }
    return true;
}

struct Opened {
    std::unique_ptr<job::Job> job;
    report::JobFacts facts;
    shop::WorkshopOptions options;
};

/// The job with its facts, or nothing after saying why.
std::optional<Opened> open(const ShopOptions& o, const Surroundings& around) {
    Opened out;
    out.job = openJob(o.file, around);
    if (!isJob(*out.job, o.file, around) || !applySets(*out.job, o.set, around)) return std::nullopt;
    if (!readPrices(o.prices, out.options.prices, around)) return std::nullopt;
    out.options.plan.effort = shop::effortOfSeconds(o.seconds);
    out.facts = report::gather(*out.job, {});
    out.facts.overrides = o.set;
    printDiagnostics(*out.job, "", around);
    if (nothing(*out.job)) return std::nullopt;
    return out;
}

} // namespace

int perform(const CutOptions& o, const Surroundings& around) {
    std::optional<Opened> at = open(o, around);
    if (!at) return kNotRead;
    if (o.progress) at->options.plan.progress = [&](const std::string& group, std::int64_t boards) { around.err << group << ": " << boards << "\n"; };
    const shop::Workshop w = shop::work(*at->job, at->options);
    tell(*at->job, w, around);
    if (o.json)
        around.out << report::writeCutJson(o.file, w);
    else if (o.csv)
        around.out << report::writeCutListCsv(w);
    else
        around.out << report::writeText(report::cutDocument(at->facts, w));
    if (!o.drawings.empty() && !writeDrawings(w, o.drawings, around)) return kNotRead;
    return w.cutStatus();
}

int perform(const PriceOptions& o, const Surroundings& around) {
    std::optional<Opened> at = open(o, around);
    if (!at) return kNotRead;
    const shop::Workshop w = shop::work(*at->job, at->options);
    tell(*at->job, w, around);
    if (o.json)
        around.out << report::writeBillJson(o.file, w);
    else if (o.csv)
        around.out << report::writeBillCsv(w);
    else
        around.out << report::writeText(report::priceDocument(at->facts, w, o.workings), 100);
    return w.priceStatus();
}

int perform(const CompareOptions& o, const Surroundings& around) {
    std::optional<Opened> at = open(o, around);
    if (!at) return kNotRead;
    std::vector<report::Alternative> list;
    int status = kAllOk;
    for (const std::string& mark : o.marks) {
        const auto member = at->job->memberByMark(mark);
        if (!member) {
            printDiagnostic(faultOf(diag::Code::UnknownMember, o.file, "there is no member `" + mark + "`", "take marks that `spanwright check` lists"), {},
                            around);
            return kNotRead;
        }
        at->options.only = {*member};
        shop::Workshop w = shop::work(*at->job, at->options);
        tell(*at->job, w, around);
        status = worse(status, w.priceStatus());
        list.push_back(report::alternativeOf(*at->job, *member, std::move(w)));
    }
    if (o.json)
        around.out << report::writeComparisonJson(o.file, list);
    else
        around.out << report::writeText(report::compareDocument(at->facts, list), 100);
    return status;
}

int perform(const BenchOptions& o, const Surroundings& around) {
    std::optional<Opened> at = open(o, around);
    if (!at) return kNotRead;
    const shop::Workshop w = shop::work(*at->job, at->options);
    tell(*at->job, w, around);
    const report::Document d = report::benchDocument(at->facts, w, *at->job, o.inches ? report::Tape::Inches : report::Tape::Millimetres);
    std::string path = o.out;
    if (path.empty()) path = o.file.substr(0, o.file.rfind('.')) + "-bench.html";
    std::string bytes;
    if (path.ends_with(".pdf")) {
        std::string problem = "this program was built without a PDF writer";
        if (around.paper != nullptr) {
            problem.clear();
            bytes = around.paper->write(d, report::PaperWriter::Size::A4, problem);
        }
        if (bytes.empty()) {
            printDiagnostic(faultOf(diag::Code::FileNotWritable, path, problem, "print the HTML page to PDF instead"), {}, around);
            return kNotRead;
        }
    } else {
        bytes = path == "-" || path.ends_with(".txt") ? report::writeText(d) : report::writeHtml(d);
    }
    if (!writeFile(path, bytes, around)) return kNotRead;
    if (path != "-") around.out << "wrote " << path << "\n";
    return w.cutStatus();
}

int perform(const JointsOptions& o, const Surroundings& around) {
    const std::unique_ptr<job::Job> job = openJob(o.file, around);
    if (!isJob(*job, o.file, around)) return kNotRead;
    if (nothing(*job)) {
        printDiagnostics(*job, "", around);
        return kNotRead;
    }
    const auto proposal = shop::proposeJoints(*job, o.mark);
    if (!proposal) {
        printDiagnostic(proposal.error(), job->resolver(), around);
        return kNotRead;
    }
    const shop::JointProposal& p = proposal.value();
    for (const std::string& line : p.words) around.out << line << "\n";
    around.out << "governing of the checks that they decide: " << units::showUtilisation(p.utilisation) << "; " << p.tried
               << " sets of joints calculated and planned\n";
    if (!p.webLines.empty()) around.out << "list  web_joints\n" << p.webLines << "end\n";
    if (!p.flangeLines.empty()) around.out << "list  flange_joints\n" << p.flangeLines << "end\n";
    if (!o.write) return kAllOk;
    if (!saveJob(*job, around)) return kNotRead;
    around.out << "written into " << o.file << "\n";
    return kAllOk;
}

} // namespace spanwright::cli
