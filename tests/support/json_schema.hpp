// As much of JSON Schema (draft 2020-12) as our OpenAPI file uses: type, enum, properties, required, items, anyOf and
// references within the file.
#pragma once

#include <nlohmann/json.hpp>
#include <string>

namespace amphora {

class SchemaCheck {
public:
    explicit SchemaCheck(const nlohmann::json& file) : file_(file) {}

    /// What is wrong with `value`, with its place in it; empty when nothing is. A member that the schema does not name
    /// is wrong too: the file shall describe all that is sent.
    [[nodiscard]] std::string fault(const nlohmann::json& schema, const nlohmann::json& value,
                                    const std::string& place = "$") const {
        if (schema.contains("$ref")) return fault(at(schema["$ref"]), value, place);
        if (schema.contains("anyOf")) {
            std::string last = place + ": fits none";
            for (const auto& one : schema["anyOf"])
                if ((last = fault(one, value, place)).empty()) return "";
            return last;
        }
        if (schema.contains("enum")) {
            for (const auto& word : schema["enum"])
                if (word == value) return "";
            return place + ": " + value.dump() + " is none of " + schema["enum"].dump();
        }
        if (schema.contains("type") && !is(schema["type"], value))
            return place + ": " + value.dump().substr(0, 60) + " is no " + schema["type"].dump();
        if (value.is_object() && schema.contains("properties")) return fault_in_object(schema, value, place);
        if (value.is_array() && schema.contains("items"))
            for (std::size_t i = 0; i < value.size(); ++i)
                if (auto wrong = fault(schema["items"], value[i], place + "[" + std::to_string(i) + "]");
                    !wrong.empty())
                    return wrong;
        return "";
    }

private:
    [[nodiscard]] const nlohmann::json& at(const std::string& reference) const {
        return file_.at(nlohmann::json::json_pointer(reference.substr(1)));
    }
    static bool is(const nlohmann::json& type, const nlohmann::json& value) {
        if (type.is_array()) {
            for (const auto& one : type)
                if (is(one, value)) return true;
            return false;
        }
        return (type == "number" && value.is_number()) || (type == "integer" && value.is_number_integer()) ||
               (type == "string" && value.is_string()) || (type == "boolean" && value.is_boolean()) ||
               (type == "null" && value.is_null()) || (type == "array" && value.is_array()) ||
               (type == "object" && value.is_object());
    }
    [[nodiscard]] std::string fault_in_object(const nlohmann::json& schema, const nlohmann::json& value,
                                              const std::string& place) const {
        for (const auto& name : schema.value("required", nlohmann::json::array()))
            if (!value.contains(name)) return place + ": " + std::string(name) + " is missing";
        for (const auto& [name, member] : value.items()) {
            if (!schema["properties"].contains(name)) return place + ": " + name + " is not described";
            if (auto wrong = fault(schema["properties"][name], member, place + "." + name); !wrong.empty())
                return wrong;
        }
        return "";
    }

    const nlohmann::json& file_;
};

}  // namespace amphora
