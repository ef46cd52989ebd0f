#include "contract/yaml_document.hpp"

#include <yaml.h>

#include <charconv>
#include <memory>
#include <stdexcept>
#include <string>

namespace boxfettle::contract {
namespace {

using nlohmann::json;

class Document {
 public:
  explicit Document(std::string_view text) {
    yaml_parser_t parser;
    yaml_parser_initialize(&parser);
    yaml_parser_set_input_string(&parser, reinterpret_cast<const unsigned char*>(text.data()), text.size());
    const bool read = yaml_parser_load(&parser, &document_) != 0;
    const std::string problem =
        read ? "" : std::string(parser.problem) + " in line " + std::to_string(parser.problem_mark.line + 1);
    yaml_parser_delete(&parser);
    if (!read) throw std::runtime_error(problem);
  }
  ~Document() { yaml_document_delete(&document_); }
  Document(const Document&) = delete;
  Document& operator=(const Document&) = delete;

  json root() { return json_of(yaml_document_get_root_node(&document_)); }

 private:
  json json_of(int index) { return json_of(yaml_document_get_node(&document_, index)); }

  json json_of(const yaml_node_t* node) {
    if (node == nullptr) return nullptr;
    if (node->type == YAML_SCALAR_NODE) return scalar(*node);
    if (node->type == YAML_SEQUENCE_NODE) {
      json list = json::array();
      for (auto item = node->data.sequence.items.start; item < node->data.sequence.items.top; ++item)
        list.push_back(json_of(*item));
      return list;
    }
    json object = json::object();
    for (auto pair = node->data.mapping.pairs.start; pair < node->data.mapping.pairs.top; ++pair) {
      const std::string key = text_of(*yaml_document_get_node(&document_, pair->key));
      if (object.contains(key)) throw std::runtime_error("'" + key + "' stands twice");
      object[key] = json_of(pair->value);
    }
    return object;
  }

  static std::string text_of(const yaml_node_t& node) {
    return {reinterpret_cast<const char*>(node.data.scalar.value), node.data.scalar.length};
  }

  static json scalar(const yaml_node_t& node) {
    const std::string text = text_of(node);
    if (node.data.scalar.style != YAML_PLAIN_SCALAR_STYLE) return text;
    if (text == "true") return true;
    if (text == "false") return false;
    if (text == "null" || text.empty()) return nullptr;
    std::int64_t whole = 0;
    const char* end = text.data() + text.size();
    if (const auto read = std::from_chars(text.data(), end, whole); read.ec == std::errc() && read.ptr == end)
      return whole;
    double number = 0;
    if (const auto read = std::from_chars(text.data(), end, number);
        read.ec == std::errc() && read.ptr == end)
      return number;
    return text;
  }

  yaml_document_t document_;
};

}  // namespace

json json_of_yaml(std::string_view text) {
  return Document(text).root();
}

}  // namespace boxfettle::contract
