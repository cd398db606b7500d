// Nothing: what the tests include is compiled beforehand with it (CMakeLists.txt).
