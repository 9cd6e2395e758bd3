// What can go wrong with a record, said so that a person can act on it.
#pragma once

#include <expected>
#include <string>

namespace amphora::record {

enum class Fault {
    not_found,     // there is no such file
    not_a_record,  // a file, but not one of ours
    newer,         // written by a newer version of the program
    busy,          // another program is writing to it
    full,          // no space left on the device
    input_output,  // the device or file system reports an error
    damaged,       // checksums or structure do not hold
    refused,       // not permitted, or a request that makes no sense
};

struct RecordError {
    Fault fault;
    std::string message;  // what, where, and what to do
};

template <class T>
using Result = std::expected<T, RecordError>;

}  // namespace amphora::record
