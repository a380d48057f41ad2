// SPDX-License-Identifier: MIT
#include "engine/cli/options.h"

#include <CLI/CLI.hpp>
#include <algorithm>

#include "engine/cli/run.h"

#ifndef SPANWRIGHT_VERSION
#error "the build names the version"
#endif

namespace spanwright::cli {

namespace {

/// `--set` takes one NAME=VALUE each time, never the words that follow.
void addSet(CLI::App& app, std::vector<std::string>& into) {
    CLI::Option* set = app.add_option("--set,-s", into, "NAME=VALUE")->allow_extra_args(false)->take_all();
    set->check([](const std::string& text) {
        const std::size_t at = text.find('=');
        const bool named = at != std::string::npos && text.find_first_not_of(" \t") < at && text.find_first_not_of(" \t", at + 1) != std::string::npos;
        return named ? std::string() : "`" + text + "` is not NAME=VALUE";
    });
}

/// ISO 8601: the one way to write a date that is read alike everywhere.
std::string checkDate(const std::string& text) {
    const auto digit = [&](std::size_t i) { return text[i] >= '0' && text[i] <= '9'; };
    bool ok = text.size() == 10 && text[4] == '-' && text[7] == '-';
    for (const std::size_t i : {0U, 1U, 2U, 3U, 5U, 6U, 8U, 9U}) ok = ok && digit(i);
    if (ok) {
        const int month = (text[5] - '0') * 10 + (text[6] - '0');
        const int day = (text[8] - '0') * 10 + (text[9] - '0');
        ok = month >= 1 && month <= 12 && day >= 1 && day <= 31;
    }
    return ok ? "" : "`" + text + "` is no date; write it as 2026-05-04";
}

std::string checkWho(const std::string& text) {
    const bool ok = !text.empty() && std::none_of(text.begin(), text.end(), [](unsigned char c) { return c < 0x20U || c == 0x7fU; });
    return ok ? "" : "it must say who, on one line";
}

std::string lower(std::string s) {
    if (!s.empty() && s[0] >= 'A' && s[0] <= 'Z' && (s.size() < 2 || s[1] < 'A' || s[1] > 'Z')) s[0] = static_cast<char>(s[0] - 'A' + 'a');
    return s;
}

/// What cut, price, compare and bench have in common.
void addShop(CLI::App& app, ShopOptions& into) {
    app.add_option("FILE", into.file)->required();
    app.add_option("--prices,-p", into.prices);
    app.add_option("--seconds", into.seconds)->check(CLI::Range(0.0, 3600.0));
    addSet(app, into.set);
}

/// Everything the parser fills; one command of it is used.
struct Parsed {
    CutOptions cut;
    PriceOptions price;
    CompareOptions compare;
    BenchOptions bench;
    JointsOptions joints;
    CheckOptions check;
    WorkingOptions working;
    SetOptions set;
    ReportOptions report;
    StartOptions start;
    TidyOptions tidy;
    TickOptions tick;
    VaryOptions vary;
    ReachOptions reach;
    WeighOptions weigh;
    SureOptions sure;
    ExplainOptions explain;
};

void declare(CLI::App& app, Parsed& p, std::string& sheets) {
    app.set_help_flag("-h,--help");
    app.set_version_flag("-V,--version", std::string("spanwright ") + SPANWRIGHT_VERSION);
    app.add_option("--sheets", sheets, "FOLDER");
    app.fallthrough();
    app.require_subcommand(1);

    CLI::App* check = app.add_subcommand("check");
    check->add_option("FILE", p.check.file)->required();
    check->add_option("--member,-m", p.check.member);
    addSet(*check, p.check.set);
    CLI::Option* json = check->add_flag("--json", p.check.json);
    CLI::Option* csv = check->add_flag("--csv", p.check.csv);
    check->add_flag("--explain,-e", p.check.explain)->excludes(json)->excludes(csv);
    json->excludes(csv);

    CLI::App* working = app.add_subcommand("working");
    working->add_option("FILE", p.working.file)->required();
    working->add_option("NAME", p.working.name)->required();
    working->add_option("--deep,-d", p.working.deep)->check(CLI::Range(0U, 1000U));
    working->add_option("--case,-c", p.working.caseLabel);
    addSet(*working, p.working.set);

    CLI::App* set = app.add_subcommand("set");
    set->add_option("FILE", p.set.file)->required();
    set->add_option("NAME", p.set.name)->required();
    set->add_option("VALUE", p.set.value)->required();

    CLI::App* report = app.add_subcommand("report");
    report->add_option("FILE", p.report.file)->required();
    report->add_option("--out,-o", p.report.out);
    report->add_option("--as", p.report.as)->check(CLI::IsMember({"html", "text", "json", "csv", "pdf"}));
    report->add_option("--plots", p.report.plots);
    report->add_option("--member,-m", p.report.members)->allow_extra_args(false);
    report->add_flag("--brief,-b", p.report.brief);
    report->add_option("--size", p.report.size)->check(CLI::IsMember({"a4", "letter"}));
    addSet(*report, p.report.set);

    CLI::App* cut = app.add_subcommand("cut");
    addShop(*cut, p.cut);
    CLI::Option* cutJson = cut->add_flag("--json", p.cut.json);
    cut->add_flag("--csv", p.cut.csv)->excludes(cutJson);
    cut->add_flag("--progress", p.cut.progress);
    cut->add_option("--drawings", p.cut.drawings);

    CLI::App* price = app.add_subcommand("price");
    addShop(*price, p.price);
    CLI::Option* priceJson = price->add_flag("--json", p.price.json);
    price->add_flag("--csv", p.price.csv)->excludes(priceJson);
    price->add_flag("--workings,-w", p.price.workings);

    CLI::App* compare = app.add_subcommand("compare");
    addShop(*compare, p.compare);
    compare->add_option("MARK", p.compare.marks)->required();
    compare->add_flag("--json", p.compare.json);

    CLI::App* bench = app.add_subcommand("bench");
    addShop(*bench, p.bench);
    bench->add_option("--out,-o", p.bench.out);
    bench->add_flag("--inches", p.bench.inches);

    CLI::App* joints = app.add_subcommand("joints");
    joints->add_option("FILE", p.joints.file)->required();
    joints->add_option("MARK", p.joints.mark)->required();
    joints->add_flag("--write", p.joints.write);

    app.add_subcommand("sheets");

    CLI::App* start = app.add_subcommand("start");
    start->add_option("JOB", p.start.job)->required();
    start->add_option("--with,-w", p.start.sheet)->required();

    CLI::App* tidy = app.add_subcommand("tidy");
    tidy->add_option("FILE", p.tidy.file)->required();

    CLI::App* tick = app.add_subcommand("tick");
    tick->add_option("JOB", p.tick.job)->required();
    tick->add_option("NAME", p.tick.name)->required();
    tick->add_option("--by", p.tick.by)->required()->check(checkWho);
    tick->add_option("--on", p.tick.on)->required()->check(checkDate);

    CLI::App* vary = app.add_subcommand("vary");
    vary->add_option("FILE", p.vary.file)->required();
    vary->add_option("--over", p.vary.over)->required()->allow_extra_args(false)->take_all();
    vary->add_option("--show", p.vary.show)->take_all();
    CLI::Option* varyLargest = vary->add_option("--largest", p.vary.largest);
    vary->add_option("--smallest", p.vary.smallest)->excludes(varyLargest);
    vary->add_option("--plot", p.vary.plot);
    CLI::Option* varyJson = vary->add_flag("--json", p.vary.json);
    vary->add_flag("--csv", p.vary.csv)->excludes(varyJson);
    vary->add_flag("--pin", p.vary.pin);
    addSet(*vary, p.vary.set);

    CLI::App* reach = app.add_subcommand("reach");
    reach->add_option("FILE", p.reach.file)->required();
    CLI::Option* largest = reach->add_option("--largest", p.reach.largest);
    CLI::Option* smallest = reach->add_option("--smallest", p.reach.smallest)->excludes(largest);
    CLI::Option* with = reach->add_option("--with", p.reach.with)->excludes(largest)->excludes(smallest);
    CLI::Option* until = reach->add_option("--until", p.reach.until)->needs(with);
    with->needs(until);
    reach->add_option("--within", p.reach.within);
    reach->add_option("--by", p.reach.by);
    reach->add_flag("--apply", p.reach.apply);
    reach->add_flag("--json", p.reach.json);
    reach->add_flag("--pin", p.reach.pin);
    addSet(*reach, p.reach.set);

    CLI::App* weigh = app.add_subcommand("weigh");
    weigh->add_option("FILE", p.weigh.file)->required();
    weigh->add_option("NAME", p.weigh.name)->required();
    weigh->add_option("--plot", p.weigh.plot);
    weigh->add_flag("--json", p.weigh.json);
    weigh->add_flag("--pin", p.weigh.pin);
    addSet(*weigh, p.weigh.set);

    CLI::App* sure = app.add_subcommand("sure");
    sure->add_option("FILE", p.sure.file)->required();
    sure->add_option("--member,-m", p.sure.member);
    sure->add_option("--samples", p.sure.samples)->check(CLI::Range(std::size_t{1}, std::size_t{10'000'000}));
    sure->add_option("--seed", p.sure.seed);
    sure->add_flag("--normal", p.sure.normal);
    sure->add_flag("--calculated", p.sure.calculated);
    sure->add_option("--plots", p.sure.plots);
    sure->add_flag("--json", p.sure.json);
    sure->add_flag("--pin", p.sure.pin);
    addSet(*sure, p.sure.set);

    CLI::App* explain = app.add_subcommand("explain");
    explain->add_option("CODE", p.explain.code);
}

Request answer(std::string text) {
    Request r;
    r.stop = true;
    r.text = std::move(text);
    return r;
}

Request wrong(const std::string& command, const std::string& problem) {
    Request r;
    r.stop = true;
    r.status = kUsage;
    const std::string name = command.empty() ? "spanwright" : "spanwright " + command;
    r.problem = name + ": " + lower(problem) + "\ntry: " + name + " --help\n";
    return r;
}

} // namespace

Request readOptions(const std::vector<std::string>& arguments) {
    CLI::App app;
    Parsed parsed;
    Request r;
    declare(app, parsed, r.sheets);
    std::string command;
    const auto active = [&] {
        const std::vector<CLI::App*> chosen = app.get_subcommands();
        return chosen.empty() ? std::string() : chosen.front()->get_name();
    };
    if (arguments.empty()) {
        Request none = wrong("", "which command?");
        none.problem += "\n" + helpText("");
        return none;
    }
    if (arguments.front() == "help") return answer(helpText(arguments.size() > 1 ? arguments[1] : ""));
    try {
        std::vector<std::string> reversed(arguments.rbegin(), arguments.rend()); // as the library wants them
        app.parse(reversed);
        command = active();
    } catch (const CLI::CallForHelp&) { return answer(helpText(active())); } catch (const CLI::CallForVersion&) {
        return answer(std::string("spanwright ") + SPANWRIGHT_VERSION + "\n");
    } catch (const CLI::ParseError& e) {
        const bool unknown = active().empty() && arguments.front().rfind('-', 0) != 0;
        return wrong(active(), unknown ? "there is no command `" + arguments.front() + "`" : e.what());
    }
    if (command == "check")
        r.command = parsed.check;
    else if (command == "working")
        r.command = parsed.working;
    else if (command == "set")
        r.command = parsed.set;
    else if (command == "report")
        r.command = parsed.report;
    else if (command == "sheets")
        r.command = SheetsOptions{};
    else if (command == "start")
        r.command = parsed.start;
    else if (command == "tidy")
        r.command = parsed.tidy;
    else if (command == "tick")
        r.command = parsed.tick;
    else if (command == "cut")
        r.command = parsed.cut;
    else if (command == "price")
        r.command = parsed.price;
    else if (command == "compare")
        r.command = parsed.compare;
    else if (command == "joints")
        r.command = parsed.joints;
    else if (command == "bench")
        r.command = parsed.bench;
    else if (command == "vary")
        r.command = parsed.vary;
    else if (command == "sure")
        r.command = parsed.sure;
    else if (command == "weigh")
        r.command = parsed.weigh;
    else if (command == "reach")
        r.command = parsed.reach;
    else
        r.command = parsed.explain;
    if (command == "reach" && parsed.reach.largest.empty() && parsed.reach.smallest.empty() && parsed.reach.with.empty())
        return wrong(command, "what is to be reached: --largest NAME, --smallest NAME, or --with NAME --until NAME=VALUE?");
    if (command == "tidy" && !parsed.tidy.file.ends_with(".spanjob") && !parsed.tidy.file.ends_with(".spansheet"))
        return wrong(command, "FILE must be a *.spansheet or a *.spanjob");
    return r;
}

} // namespace spanwright::cli
