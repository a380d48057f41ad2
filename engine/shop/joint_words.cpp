// SPDX-License-Identifier: MIT
#include "engine/shop/joint_words.h"

#include <algorithm>
#include <cmath>

#include "engine/shop/joint_places.h"
#include "engine/units/format.h"

namespace spanwright::shop {

namespace {

std::string at(const Places& places) {
    if (places.empty()) return "none";
    std::string out;
    for (const double x : places) out += (out.empty() ? "" : ", ") + units::showNumber(x, {}, {4, {}, {}}) + " m";
    return out;
}

std::string balance(const JointProposal& p, const JointSearch& s) {
    const std::string joints = std::to_string(p.joints()) + (p.joints() == 1 ? " joint" : " joints");
    const std::string cost = p.money ? " for " + showMoney(toCents(p.cost, s.currency), s.currency) : std::string();
    return joints + " in each, " + units::showNumber(p.bought, {}, {3, {}, {}}) + " m³ of stock bought" + cost + ", " +
           units::showNumber(100.0 * p.waste, {}, {2, {}, {}}) + " % of what is cut wasted, governing " + units::showUtilisation(p.utilisation);
}

std::string where(const JointProposal& p, const JointSearch& s) {
    std::string out;
    if (s.web) out += "web " + at(p.web);
    if (s.flange) out += std::string(out.empty() ? "" : "; ") + "top " + at(p.top) + "; bottom " + at(p.bottom);
    return " (" + out + ")";
}

/// How far the search went, and what is proven of its best.
void tellSearch(const JointProposal& best, const JointSearch& s, std::vector<std::string>& words) {
    const auto places = "on steps of " + units::showNumber(kJointStep, {}, {3, {}, {}}) + " m and where lengths of stock reach";
    words.push_back("tried: " + std::string(best.all ? "all " : "") + std::to_string(best.tried) + (best.tried == 1 ? " set" : " sets") + " of joints " +
                    places + ", with the fewest joints that can be and one more" +
                    (best.all     ? ""
                     : !s.matched ? "; there are too many others to try them all"
                                  : ", of " + std::to_string(best.sets)));
    const std::string least = units::showNumber(best.atLeast, {}, {3, {}, {}}) + " m³";
    words.push_back(best.proven ? "the least: any joints take " + least + " of stock that is bought, so none take less"
                    : best.all  ? "the least of all that were tried; joints elsewhere take " + least + " at least"
                                : "whether other joints take less is not proven; they take " + least + " at least");
}

} // namespace

std::pair<int, const char*> decides(const JointProposal& x, const JointProposal& y) {
    const auto compare = [](double a, double b) {
        return a < b - 1e-9 * std::max(1.0, std::fabs(b)) ? -1 : a > b + 1e-9 * std::max(1.0, std::fabs(b)) ? 1 : 0;
    };
    if (const int c = compare(x.bought, y.bought)) return {c, "less stock is bought, so less is wasted"};
    if (const int c = compare(static_cast<double>(x.joints()), static_cast<double>(y.joints()))) return {c, "as much stock is bought, for fewer joints"};
    if (const int c = compare(x.cost, y.cost)) return {c, "as much stock is bought for as many joints, and it is cheaper"};
    if (const int c = compare(x.utilisation, y.utilisation)) return {c, "stock, joints and cost are the same, and its joints are used less"};
    return {0, "the two are alike in stock, joints, cost and use; the first of them is taken"};
}

std::vector<std::string> jointWords(const JointProposal& best, const JointSearch& s, const JointProposal* next, const JointProposal* fewest) {
    std::vector<std::string> words;
    if (s.web) words.push_back("joints of the web: " + at(best.web));
    if (s.flange) {
        words.push_back("joints of the top flange: " + at(best.top));
        words.push_back("joints of the bottom flange: " + at(best.bottom));
    }
    words.push_back("chosen: " + balance(best, s));
    if (next != nullptr) {
        words.push_back("next best: " + balance(*next, s) + where(*next, s));
        words.push_back("why: " + std::string(decides(best, *next).second));
    } else {
        words.emplace_back("no other set that was tried keeps every rule");
    }
    if (fewest != nullptr && fewest != next) words.push_back("fewest joints: " + balance(*fewest, s) + where(*fewest, s));
    tellSearch(best, s, words);
    return words;
}

} // namespace spanwright::shop
