#include "storage/sqlite_errors.h"

#include <sqlite3.h>

namespace discal::storage {

Error errorOf(const SQLite::Exception& exception) {
    const int extended = exception.getExtendedErrorCode() != -1 ? exception.getExtendedErrorCode()
                                                                : exception.getErrorCode();
    Code code = Code::Io;
    switch (exception.getErrorCode() & 0xFF) {
    case SQLITE_FULL:
        code = Code::DiskFull;
        break;
    case SQLITE_NOMEM:
        code = Code::OutOfMemory;
        break;
    case SQLITE_CORRUPT:
    case SQLITE_NOTADB:
        code = Code::Corrupt;
        break;
    case SQLITE_BUSY:
    case SQLITE_LOCKED:
        code = Code::Busy;
        break;
    case SQLITE_READONLY:
    case SQLITE_PERM:
        code = Code::ReadOnly;
        break;
    case SQLITE_CANTOPEN:
        code = Code::NotFound;
        break;
    default:
        break;
    }
    if (extended == SQLITE_IOERR_NOMEM)
        code = Code::OutOfMemory;
    if (extended == SQLITE_IOERR_SHMSIZE)
        code = Code::DiskFull;  // no room for the -shm file
    return {code, exception.what(), extended};
}

} // namespace discal::storage
