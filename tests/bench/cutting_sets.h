// SPDX-License-Identifier: MIT
#pragma once

#include <algorithm>
#include <cstdint>
#include <filesystem>
#include <fstream>
#include <map>
#include <sstream>
#include <string>
#include <vector>

namespace cutting {

struct Lengths {
    std::string name;
    std::int64_t bar = 0;
    std::vector<std::pair<std::int64_t, std::int64_t>> pieces; ///< size, count
};

struct Rectangles {
    std::string name;
    std::int64_t width = 0;
    std::int64_t height = 0;
    struct Piece {
        std::int64_t w, h, n;
    };
    std::vector<Piece> pieces;
};

/// Lines of comma-separated fields without the head.
inline std::vector<std::vector<std::string>> readTable(const std::filesystem::path& file) {
    std::vector<std::vector<std::string>> rows;
    std::ifstream in(file);
    std::string line;
    std::getline(in, line);
    while (std::getline(in, line)) {
        while (!line.empty() && (line.back() == '\r' || line.back() == ' ')) line.pop_back();
        std::vector<std::string> row;
        std::stringstream fields(line);
        std::string field;
        while (std::getline(fields, field, ',')) row.push_back(field);
        if (!row.empty()) rows.push_back(row);
    }
    return rows;
}

/// Item types, capacity, then size and demand of each type.
inline Lengths readTyped(const std::filesystem::path& file) {
    Lengths l{file.stem().string(), 0, {}};
    std::ifstream in(file);
    std::size_t types = 0;
    in >> types >> l.bar;
    for (std::size_t i = 0; i < types; ++i) {
        std::int64_t size = 0;
        std::int64_t count = 0;
        in >> size >> count;
        l.pieces.emplace_back(size, count);
    }
    return l;
}

/// Number of problems; then name / capacity, items, best known / one size a line.
inline std::vector<Lengths> readListed(const std::filesystem::path& file) {
    std::vector<Lengths> out;
    std::ifstream in(file);
    std::size_t problems = 0;
    in >> problems;
    for (std::size_t p = 0; p < problems; ++p) {
        Lengths l;
        std::size_t items = 0;
        std::int64_t best = 0;
        in >> l.name >> l.bar >> items >> best;
        std::map<std::int64_t, std::int64_t> counts;
        for (std::size_t i = 0; i < items; ++i) {
            std::int64_t size = 0;
            in >> size;
            ++counts[size];
        }
        for (const auto& [size, n] : counts) l.pieces.emplace_back(size, n);
        out.push_back(std::move(l));
    }
    return out;
}

/// "name types W H", then "w h demand" of each type.
inline std::vector<Rectangles> readBlocks(const std::filesystem::path& file) {
    std::vector<Rectangles> out;
    std::ifstream in(file);
    Rectangles r;
    std::size_t types = 0;
    while (in >> r.name >> types >> r.width >> r.height) {
        r.pieces.clear();
        for (std::size_t i = 0; i < types; ++i) {
            Rectangles::Piece p{};
            in >> p.w >> p.h >> p.n;
            r.pieces.push_back(p);
        }
        out.push_back(r);
    }
    return out;
}

/// One problem a file: number of pieces / W H / "w h" or, with more columns, "w h value" or "w h count value".
inline Rectangles readSingle(const std::filesystem::path& file) {
    Rectangles r{file.stem().string(), 0, 0, {}};
    std::ifstream in(file);
    std::size_t n = 0;
    in >> n >> r.width >> r.height;
    std::string line;
    std::getline(in, line);
    while (r.pieces.size() < n && std::getline(in, line)) {
        std::stringstream fields(line);
        std::vector<std::int64_t> v;
        std::int64_t x = 0;
        while (fields >> x) v.push_back(x);
        if (v.size() < 2) continue;
        r.pieces.push_back({v[0], v[1], v.size() >= 4 ? v[2] : 1});
    }
    return r;
}

} // namespace cutting
