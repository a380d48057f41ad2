// SPDX-License-Identifier: MIT
#pragma once

#include <nlohmann/json.hpp>
#include <string>
#include <vector>

namespace spanwright::report::sample {

/// What in `value` breaks `schema` (the part of JSON Schema draft 2020-12 that check.schema.json uses);
/// a keyword that is not understood is itself a fault, so that nothing is left unchecked unnoticed.
[[nodiscard]] inline std::vector<std::string> schemaFaults(const nlohmann::json& root, const nlohmann::json& schema, const nlohmann::json& value,
                                                           const std::string& at = "$");

namespace detail {

inline bool isType(const nlohmann::json& v, const std::string& type) {
    if (type == "object") return v.is_object();
    if (type == "array") return v.is_array();
    if (type == "string") return v.is_string();
    if (type == "boolean") return v.is_boolean();
    if (type == "null") return v.is_null();
    if (type == "integer") return v.is_number_integer();
    return type == "number" && v.is_number();
}

inline bool matchesCode(const std::string& s) {
    return s.size() == 4 && s[0] >= 'A' && s[0] <= 'Z' && std::isdigit(s[1]) != 0 && std::isdigit(s[2]) != 0 && std::isdigit(s[3]) != 0;
}

inline void object(const nlohmann::json& root, const nlohmann::json& schema, const nlohmann::json& value, const std::string& at,
                   std::vector<std::string>& out) {
    const nlohmann::json none = nlohmann::json::object();
    const nlohmann::json& properties = schema.contains("properties") ? schema["properties"] : none;
    for (const auto& [key, v] : value.items()) {
        if (!properties.contains(key)) {
            if (schema.value("additionalProperties", true) == false) out.push_back(at + "." + key + ": not foreseen");
            continue;
        }
        for (std::string& f : schemaFaults(root, properties[key], v, at + "." + key)) out.push_back(std::move(f));
    }
    if (schema.contains("required")) {
        for (const auto& key : schema["required"]) {
            if (!value.contains(key.get<std::string>())) out.push_back(at + "." + key.get<std::string>() + ": missing");
        }
    }
}

} // namespace detail

inline std::vector<std::string> schemaFaults(const nlohmann::json& root, const nlohmann::json& schema, const nlohmann::json& value, const std::string& at) {
    std::vector<std::string> out;
    for (const auto& [word, rule] : schema.items()) {
        if (word == "$schema" || word == "$id" || word == "$defs" || word == "title" || word == "description") continue;
        if (word == "properties" || word == "required" || word == "additionalProperties") continue; // below, together
        if (word == "type") {
            bool ok = false;
            if (rule.is_string())
                ok = detail::isType(value, rule.get<std::string>());
            else
                for (const auto& t : rule) ok = ok || detail::isType(value, t.get<std::string>());
            if (!ok) out.push_back(at + ": not of type " + rule.dump());
        } else if (word == "enum") {
            if (std::find(rule.begin(), rule.end(), value) == rule.end()) out.push_back(at + ": " + value.dump() + " is none of " + rule.dump());
        } else if (word == "const") {
            if (value != rule) out.push_back(at + ": is not " + rule.dump());
        } else if (word == "items") {
            for (std::size_t i = 0; value.is_array() && i < value.size(); ++i) {
                for (std::string& f : schemaFaults(root, rule, value[i], at + "[" + std::to_string(i) + "]")) out.push_back(std::move(f));
            }
        } else if (word == "minItems") {
            if (value.is_array() && value.size() < rule.get<std::size_t>()) out.push_back(at + ": too few");
        } else if (word == "minimum") {
            if (value.is_number() && value.get<double>() < rule.get<double>()) out.push_back(at + ": too small");
        } else if (word == "exclusiveMinimum") {
            if (value.is_number() && value.get<double>() <= rule.get<double>()) out.push_back(at + ": too small");
        } else if (word == "pattern") {
            if (rule != "^[A-Z][0-9]{3}$")
                out.push_back(at + ": pattern not understood: " + rule.dump());
            else if (value.is_string() && !detail::matchesCode(value.get<std::string>()))
                out.push_back(at + ": is no code");
        } else if (word == "$ref") {
            const std::string name = rule.get<std::string>();
            if (name.rfind("#/$defs/", 0) != 0 || !root["$defs"].contains(name.substr(8)))
                out.push_back(at + ": reference not understood: " + name);
            else
                for (std::string& f : schemaFaults(root, root["$defs"][name.substr(8)], value, at)) out.push_back(std::move(f));
        } else
            out.push_back(at + ": keyword not understood: " + word);
    }
    if (value.is_object() && (schema.contains("properties") || schema.contains("required"))) detail::object(root, schema, value, at, out);
    return out;
}

} // namespace spanwright::report::sample
