// SPDX-License-Identifier: MIT
// Which of the ready sheets serve which picture of the first page.
#include <algorithm>
#include <utility>

#include "gui/models/first_job.h"

namespace spanwright::models {

QString firstPictureName(FirstPicture picture) {
    switch (picture) {
    case FirstPicture::Joist: return FirstJob::tr("A joist");
    case FirstPicture::Header: return FirstJob::tr("A header over an opening");
    case FirstPicture::LevelBeam: return FirstJob::tr("A level beam");
    case FirstPicture::RidgeBeam: return FirstJob::tr("A ridge beam");
    case FirstPicture::Post: return FirstJob::tr("Posts and studs");
    }
    return {};
}

QString firstMark(FirstPicture picture) {
    switch (picture) {
    case FirstPicture::Joist: return QStringLiteral("J1");
    case FirstPicture::Header: return QStringLiteral("H1");
    case FirstPicture::LevelBeam: return QStringLiteral("B1");
    case FirstPicture::RidgeBeam: return QStringLiteral("R1");
    case FirstPicture::Post: return QStringLiteral("P1");
    }
    return {};
}

namespace {

/// The sheets that belong to pictures, by their own names, in whatever folder of rules they stand; of each picture what is
/// built most often comes first.
constexpr std::pair<const char*, FirstPicture> kPictured[] = {
    {"floor-joist", FirstPicture::Joist},
    {"roof-joist", FirstPicture::Joist},
    {"bought-i-joist", FirstPicture::Joist},
    {"header", FirstPicture::Header},
    {"ply-web-beam", FirstPicture::LevelBeam},
    {"nailed-ply-web-beam", FirstPicture::LevelBeam},
    {"glulam-beam", FirstPicture::LevelBeam},
    {"ridge-beam", FirstPicture::RidgeBeam},
    {"stud", FirstPicture::Post},
    {"post", FirstPicture::Post},
};

std::optional<std::size_t> placeOf(const job::ReadySheet& sheet) {
    const std::string name = sheet.name.substr(sheet.name.rfind('/') + 1);
    for (std::size_t i = 0; i < std::size(kPictured); ++i)
        if (name == kPictured[i].first) return i;
    return {};
}

} // namespace

std::optional<FirstPicture> pictureOf(const job::ReadySheet& sheet) {
    const auto at = placeOf(sheet);
    if (!at) return {};
    return kPictured[*at].second;
}

std::vector<job::ReadySheet> sheetsOf(FirstPicture picture, const std::vector<job::ReadySheet>& all) {
    std::vector<job::ReadySheet> out;
    for (const job::ReadySheet& s : all)
        if (pictureOf(s) == picture) out.push_back(s);
    std::stable_sort(out.begin(), out.end(), [](const job::ReadySheet& a, const job::ReadySheet& b) { return placeOf(a) < placeOf(b); });
    return out;
}

} // namespace spanwright::models
