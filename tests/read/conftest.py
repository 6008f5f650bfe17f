import pytest

from tests.read.library_folder import LibraryFolder


@pytest.fixture
def library(tmp_path):
    return LibraryFolder(tmp_path)
